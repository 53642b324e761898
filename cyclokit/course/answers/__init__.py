"""What a reader answers: read strictly, compared, and told apart in four outcomes. `yours` stands for an open one."""

from cyclokit.course.answers.reading import yours

__all__ = ["yours"]
