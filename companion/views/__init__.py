"""The screens, each given what it shows and what can be done there."""
