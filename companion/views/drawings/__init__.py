"""What is drawn: the strip of time, shapes, figures, charts."""
