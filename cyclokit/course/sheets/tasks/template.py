"""A file of tasks of your own, to copy and change. All data in it is invented.

Try it:            python3 -m cyclokit try-task my_tasks.py
See it as moss:    python3 -m cyclokit try-task my_tasks.py --word moss
Make its sheet:    python3 -m cyclokit try-task my_tasks.py --sheet my_sheet.ipynb

Keep this file where the sheet finds it. A slip that you add after the sheet was handed out says `since=2`, and
EDITIONS becomes (1, 2): who has edition 1 keeps their numbers. Other kinds of answer are ChoiceQuestion in
cyclokit.course.answers.kinds, and ExpressionQuestion, FunctionQuestion and OutlineQuestion in
cyclokit.course.answers.formulas; the sheets that come with the lessons, in cyclokit/course/sheets/tasks, have an
example of each.
"""

import math

from cyclokit.course.answers.kinds import NumberQuestion, Slip
from cyclokit.course.sheets.lots import Draw
from cyclokit.course.sheets.task import Given, Task

TITLE = "A sheet of my own"
NAME = "my_tasks"  # numbers hang on it: don't change it once the sheet is handed out
EDITIONS = (1,)


class Across(Task):
    letter = "a"
    title = "Across the pins"
    marks = 3
    text = (
        "{drive.pins} pins stand evenly on a circle of {drive.pin_circle_radius:g} mm radius. How far is it, straight "
        "across, from the middle of a pin to the middle of the one {steps} pins on? In mm."
    )
    names = ("a_across_mm",)
    other_words = "Two pins and the middle of the circle make a triangle with two equal sides. Cut it in two."
    place = 'Lesson 0b, "Rows of numbers".'

    def numbers(self, draw: Draw) -> Given:
        """How a reader's numbers are drawn; `draw` has whole, stepped, one_of and drive."""
        return Given(drive=draw.drive(), steps=draw.whole(2, 4))

    def question(self, given: Given) -> NumberQuestion:
        """The right answer for these numbers, how near it must be met, and the slips with the question each raises."""
        radius, half_angle = given.drive.pin_circle_radius, math.pi * given.steps / given.drive.pins
        return NumberQuestion(
            right=2 * radius * math.sin(half_angle),
            unit="mm",
            tolerance=0.002,
            look='Which two points do you measure between? Lesson 0b, "Rows of numbers".',
            slips=(
                Slip(2 * radius * half_angle, "Is that straight across, or along the circle?"),
                Slip(radius * math.sin(half_angle), "Is that from pin to pin, or to the middle?"),
                Slip(2 * radius * abs(math.sin(math.degrees(half_angle))), "Which unit does a sine want?"),
                Slip(
                    2 * radius * math.sin(math.pi * given.steps / given.drive.lobes),
                    "Is that the pitch of the pins, or of the lobes?",
                ),
            ),
        )

    def worked(self, given: Given) -> str:
        """A solution for other numbers, in words, worked out by itself: so a wrong answer above comes to light."""
        angle = 180 * given.steps / given.drive.pins
        distance = 2 * given.drive.pin_circle_radius * math.sin(math.radians(angle))
        return (
            f"{given.drive.pins} pins on {given.drive.pin_circle_radius:g} mm, {given.steps} steps: half the angle "
            f"between the two is {angle:.3f}°, and 2 · {given.drive.pin_circle_radius:g} · sin {angle:.3f}° = "
            f"{distance:.3f} mm."
        )


TASKS = (Across(),)
