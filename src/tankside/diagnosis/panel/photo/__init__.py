"""Reading a photo of a panel: laid flat by its corners, its zones proposed with their doubt."""

from tankside.diagnosis.panel.photo.picture import as_picture, checked_corners, laid_flat
from tankside.diagnosis.panel.photo.proposal import Proposed, Stretch, proposed_zones

__all__ = [
    "Proposed",
    "Stretch",
    "as_picture",
    "checked_corners",
    "laid_flat",
    "proposed_zones",
]
