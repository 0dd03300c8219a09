"""Made-up sound of a hitting bay: ``make_bay_sound`` gives the samples, ``make_bay`` the truth too."""

from .sound import STRIKE_RMS, BaySound, make_bay, make_bay_sound

__all__ = ["STRIKE_RMS", "BaySound", "make_bay", "make_bay_sound"]
