"""Print the answer key of a sheet for a reader's word, for whoever teaches.

    python3 -m tests.answers one_lobe_fewer moss
    python3 -m tests.answers my_tasks.py moss --edition 1

It is no command of the package, which every student has. The worked solutions are those of the third look, for the
reader's own numbers; a few of them solve a neighbouring case and say so.
"""

import argparse
import sys

from cyclokit.course.sheets import open_sheet
from cyclokit.course.sheets.library import load_tasks
from cyclokit.course.sheets.trial import right_in_words
from cyclokit.texts import plain, shown

HEAD = ("task", "marks", "numbers", "right answer", "worked solution")


def rows(name, word, edition=None):
    """A row for each task: letter and title, marks, numbers, right answer, worked solution."""
    sheet = open_sheet(name, word, edition=load_tasks(name).editions[-1] if edition is None else edition)
    for letter, task in sheet.tasks.items():
        given, question = sheet.asked(letter)
        numbers = ", ".join(f"{key} = {shown(value)}" for key, value in vars(given).items())
        yield f"{letter}. {task.title}", str(task.marks), numbers, right_in_words(question), task.worked(given)


def table(name, word, edition=None):
    """The rows as a table in Markdown."""
    lines = [HEAD, ["---"] * len(HEAD), *rows(name, word, edition)]
    return "\n".join(f"| {' | '.join(_cell(text) for text in line)} |" for line in lines)


def _cell(text):
    return plain(" ".join(text.split())).replace("|", r"\|")


def main(arguments=None):
    """Print the table; return an exit code."""
    parser = argparse.ArgumentParser(prog="tests.answers", description="The answer key of a sheet for a word.")
    parser.add_argument("sheet", help="a sheet's name, such as one_lobe_fewer, or a file of tasks that ends in .py")
    parser.add_argument("word", help="the reader's word")
    parser.add_argument("--edition", type=int, help="the edition in the sheet's first cell; default: the newest")
    given = parser.parse_args(arguments)
    try:
        print(table(given.sheet, given.word, given.edition))
    except ValueError as error:
        print(plain(error), file=sys.stderr)
        return 2
    return 0


if __name__ == "__main__":
    sys.exit(main())
