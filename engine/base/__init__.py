"""Strict documents, units, periods, and the reading of outside data."""
