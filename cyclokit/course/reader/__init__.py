"""The reader's folder of lessons, and JupyterLab that opens it."""
