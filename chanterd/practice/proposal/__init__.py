"""What to practise today, and why."""
