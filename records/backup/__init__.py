"""One file that holds all of an installation, and the way back from it."""
