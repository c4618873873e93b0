"""The edge to the web page: HTTP, the live WebSocket, and the one place that reads a clock."""
