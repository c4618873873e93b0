"""What the daemon sends to pages, and how."""
