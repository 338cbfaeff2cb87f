"""Words, strip and colours that screen and paper share."""
