"""What forces do in a reducer."""

MOVED = {"space", "same_part"}  # lessons that were copied before the machine had rooms of its own ask for them here
SENTENCE = (
    "{name} is in cyclokit.machine now: this lesson is of an older version. A fresh one is put beside yours by  "
    "python3 -m cyclokit open --fresh 6"
)


def __getattr__(name: str) -> object:
    if name in MOVED:
        raise ImportError(SENTENCE.format(name=name))
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
