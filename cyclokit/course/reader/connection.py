"""The way between page and kernel, for JupyterLab as our `open` starts it.

Without TCP_NODELAY the system holds a short message back for some 40 ms, to send it with the next one: a
picture then lags behind its slider. Jupyter's server leaves that as it is.
"""

from typing import Any

from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection


class PromptConnection(ZMQChannelsWebsocketConnection):
    """A connection that sends every message at once."""

    def connect(self) -> Any:
        """Connect as ever, with nothing held back."""
        self.websocket_handler.set_nodelay(True)
        return super().connect()
