"""The REST API: the same gate, selectors and services as the screens, for other programs."""
