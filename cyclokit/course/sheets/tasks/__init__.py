"""The exercise sheets' tasks, one file a sheet, under the names of their lessons."""
