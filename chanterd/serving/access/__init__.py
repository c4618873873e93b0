"""Who may do what over a network: codes, what they open, and what happens to whoever guesses."""
