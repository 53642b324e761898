"""The same browser without a network as for stages and panels."""

from tests.view.conftest import browser, open_page, serious, windows  # noqa: F401
