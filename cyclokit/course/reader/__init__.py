"""The reader's folder of lessons, and JupyterLab that opens it.

- `connection.PromptConnection`: A connection that sends every message at once
- `editions.file_hash`: The hash of a file's bytes
- `editions.cells_hash`: The hash of what the cells of a notebook say; of another file that of its bytes
- `editions.read_memory`: Hashes of what was copied before; a memory that can't be read counts as none
- `folder.notebooks`: The folder that holds `lessons` and `exercises`: inside an installed package, or the checkout
- `folder.copy_all`: Copy every lesson and sheet into `folder`, never over a file that the reader changed
- `folder.copy_fresh`: Put a fresh copy of one lesson or exercise sheet beside the reader's
- `folder.copies`: The package's notebooks of which a copy that is the same to the byte stands in the reader's folder
- `folder.is_readers`: Whether lessons were copied into a folder before
- `lab.open_lab`: Start JupyterLab in `folder` with `notebook` open; return its exit code when it ends
- `lab.check_installed`: Raise a ValueError that says what to install, if JupyterLab is not there
- `lab.check_home`: Raise a ValueError that says where JupyterLab must be able to write, if it isn't
- `lab.lab_command`: The command that starts JupyterLab, reachable from this machine only
- `lab.lab_environment`: This environment, without the news prompt; in JupyterLab's terminals our commands are found
- `lab.running_root`: The folder of the JupyterLab in whose terminal this runs, None elsewhere
- `lab.default_folder`: The reader's folder if this is it or its part with lessons, else `my-lessons` in here
- `lab.link`: The address of a notebook in the JupyterLab in whose terminal this runs
- `lab.sign`: Tell Jupyter that the package's own notebooks in `folder` are to be trusted: their stored stages then play
- `lab.run_to_its_end`: Run a command and return its exit code; Ctrl+C is left to it, and it is waited for
- `pages.write_all`: Write every lesson into `folder` as a page of its own
- `pages.page`: A notebook with its stored outputs as one page that asks for nothing else
- `pages.Renderer`: A text as HTML, with equations as MathML, and without links to notebooks, which don't come along
- `pages.of_output`: An output that is one equation, between its dollars
- `pages.mathml`: An equation as MathML
- `typed.typed`: A command of this package as it is typed: by Python in a clone, by its own name where it is installed
- `typed.in_clone`: Whether this runs from a clone, not from an installed copy
"""
