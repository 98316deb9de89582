"""One file per screen: frozen dataclasses that a view fills and a template only prints.

Every text arrives ready made (translated, in the person's locale and the plant's units). Floats are
carried only where something is drawn from them. No queries and no models here.
"""
