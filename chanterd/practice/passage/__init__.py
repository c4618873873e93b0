"""A passage of a tune as practice: taken out, built up, climbed, widened and put back."""
