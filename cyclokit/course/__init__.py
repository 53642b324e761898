"""What a course needs: the reader's folder, their own drive, questions that answer.

- `answers`: What a reader answers: read strictly, compared, and told apart in four outcomes
- `installation.report`: A line for each thing that is missing here, or one line that says that all is there
- `marking`: A class: numbers dealt, answers handed in as data, marks. Nothing that comes from a student is ever run
- `own.choose`: A sound drive from three or four plain wishes
- `own.keep`: Write the drive to `my_drive.toml`, unless a drive is kept there already; return a line that says which
- `own.read`: The drive kept in `my_drive.toml`, or None where there is no such file
- `own.beside`: The story's drive and the reader's own, by whose they are; a line is printed where there is none yet
- `questions`: The questions under "Check yourself" in the lessons: right values, known slips, what to look at
- `reader`: The reader's folder of lessons, and JupyterLab that opens it
- `reported.pytest_runtest_makereport`: Put a check's line in place of its traceback (pytest's hook)
- `sheets`: Exercise sheets: numbers of one's own, tasks, and what comes of an answer
"""
