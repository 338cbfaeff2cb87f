"""Drawings: the strip of time, the working side, the figure of joints, the charts of a week."""
