"""Draw the house in DEVELOPERS.md anew, from the imports:  python -m tests.house"""

import ast
from pathlib import Path

import cyclokit

PACKAGE = Path(cyclokit.__file__).parent
DEVELOPERS = Path(__file__).resolve().parents[1] / "DEVELOPERS.md"
NO_ROOMS = {"Drive", "__version__"}  # what the package itself gives
OPENS, ENDS = "```mermaid\n", "```\n"


def rooms_imported(source):
    """The rooms of the package that a module's source imports, anywhere in it and in any way."""
    rooms = set()
    for node in ast.walk(ast.parse(source)):
        names = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are written in full, so that this can read them"
            names = [f"{node.module}.{alias.name}" for alias in node.names]
        inside = [name.split(".")[1:] for name in names if name.split(".")[0] == "cyclokit"]
        rooms |= {parts[0] for parts in inside if parts and parts[0] not in NO_ROOMS}
    return rooms


def imports():
    """Which rooms each room imports."""
    found = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        room = path.relative_to(PACKAGE).with_suffix("").parts[0]
        if room != "__init__":
            found.setdefault(room, set()).update(rooms_imported(path.read_text(encoding="utf-8")) - {room})
    return found


def picture():
    """The house as a diagram: an arrow from each room to those that it imports and doesn't reach by another one."""
    stands_on = imports()

    def below(room):
        return stands_on[room] | {deeper for other in stands_on[room] for deeper in below(other)}

    lines = ["graph TD"]
    for room, others in sorted(stands_on.items()):
        near = {other for other in others if not any(other in below(between) for between in others - {other})}
        lines += [f"    {room.strip('_')} --> {other}" for other in sorted(near)]
    return "\n".join(lines) + "\n"


def drawn():
    """What DEVELOPERS.md has."""
    return DEVELOPERS.read_text(encoding="utf-8").partition(OPENS)[2].partition(ENDS)[0]


if __name__ == "__main__":
    text = DEVELOPERS.read_text(encoding="utf-8")
    DEVELOPERS.write_text(text.replace(OPENS + drawn() + ENDS, OPENS + picture() + ENDS), encoding="utf-8")
