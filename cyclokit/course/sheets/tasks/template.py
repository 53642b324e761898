"""A file of tasks of your own, to copy and change. All data in it is invented.

Try it:       cyclokit try-task my_tasks.py
Use it:       sheet = open_sheet("my_tasks.py", my_word)
              given_a = sheet.ask("a")
              a_across_mm = yours
              sheet.check_yourself("a")

One line each in a notebook's cells, as in the sheets that come with the lessons. Keep this file beside
the notebook. Other kinds of answer are ChoiceQuestion in cyclokit.course.answers.kinds, and ExpressionQuestion,
FunctionQuestion and OutlineQuestion in cyclokit.course.answers.formulas; the sheets that come with the lessons,
in cyclokit/course/sheets/tasks, have an example of each.
"""

import math
from typing import Any

from cyclokit.course.answers.kinds import NumberQuestion, Slip
from cyclokit.course.sheets.lots import Draw
from cyclokit.course.sheets.sheet import Task
from cyclokit.drive import Drive

TITLE = "A sheet of my own"

# a. Across the pins


def across_numbers(draw: Draw) -> dict[str, Any]:
    """How a reader's numbers are drawn; `draw` has whole, stepped, one_of and drive."""
    return {"drive": draw.drive(), "steps": draw.whole(2, 4)}


def across(drive: Drive, steps: int) -> NumberQuestion:
    """The right answer for these numbers, how near it must be met, and the slips with the question each raises."""
    radius, half_angle = drive.pin_circle_radius, math.pi * steps / drive.pins
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
                2 * radius * math.sin(math.pi * steps / drive.lobes), "Is that the pitch of the pins, or of the lobes?"
            ),
        ),
    )


def across_worked(drive: Drive, steps: int) -> str:
    """A solution for other numbers, in words."""
    angle, distance = 180 * steps / drive.pins, across(drive, steps).right
    return (
        f"{drive.pins} pins on {drive.pin_circle_radius:g} mm, {steps} steps: half the angle between the two is "
        f"{angle:.3f}°, and 2 · {drive.pin_circle_radius:g} · sin {angle:.3f}° = {distance:.3f} mm."
    )


task_a = Task(
    letter="a",
    title="Across the pins",
    marks=3,
    text="{drive.pins} pins stand evenly on a circle of {drive.pin_circle_radius:g} mm radius. How far is it, straight "
    "across, from the middle of a pin to the middle of the one {steps} pins on? In mm.",
    names=("a_across_mm",),
    numbers=across_numbers,
    question=across,
    other_words="Two pins and the middle of the circle make a triangle with two equal sides. Cut it in two.",
    place='Lesson 0b, "Rows of numbers".',
    worked=across_worked,
)

TASKS = (task_a,)
