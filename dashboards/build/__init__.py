"""From rows to screens: each module fills the screen objects of one subject. Reads only."""
