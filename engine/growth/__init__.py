"""What grows besides one load: a round as a whole, movements without a weight, weeks."""
