"""What is made of a reducer: the shape of each part, and the files for those who make it.

- `shapes`: closed loops in a plane (circle, a disc's outline, lines and arcs), and parts as stacks of slabs.
"""
