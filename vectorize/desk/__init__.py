"""The local page, served from this computer to this computer."""
