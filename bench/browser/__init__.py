"""The same app in a browser: a page, its websocket, and who may open them."""
