"""Run notebooks and store their fresh outputs, ready to commit.

    python -m tests.refresh lessons/01_circles_that_roll.ipynb ...

What a commit must not hold is left out: run times, versions, widget state.
"""

import sys
from pathlib import Path

import nbformat
from nbclient import NotebookClient

METADATA = {
    "kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"},
    "language_info": {"name": "python"},
}
KEPT = ("tags", "jp-MarkdownHeadingCollapsed")  # of a cell's own: what nbval does with it, and that JupyterLab folds it


def refresh(path: Path) -> None:
    """Execute a notebook in its own folder and write it back."""
    notebook = nbformat.read(path, as_version=4)
    where = {"metadata": {"path": str(path.parent)}}
    NotebookClient(notebook, timeout=60, resources=where, coalesce_streams=True).execute()
    notebook.metadata = nbformat.from_dict(METADATA)
    for number, cell in enumerate(notebook.cells):
        cell.id = f"cell-{number:02d}"
        cell.metadata = nbformat.from_dict({key: cell.metadata[key] for key in KEPT if cell.metadata.get(key)})
        for output in cell.get("outputs", []):
            if "text/html" in output.get("data", {}):  # a widget's view without its state is an error in a fresh copy
                output.data.pop("application/vnd.jupyter.widget-view+json", None)
    nbformat.write(notebook, path)


if __name__ == "__main__":
    for name in sys.argv[1:]:
        refresh(Path(name))
