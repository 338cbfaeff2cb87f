"""From history, body and the coach's word to the question put to the fit."""
