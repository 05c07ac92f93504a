"""How the people of this bench like things written."""

import dataclasses

from fastapi import APIRouter, Request
from pydantic import BaseModel

from tankside.app.work.preferences import Preferences, wanted

router = APIRouter(tags=["preferences"])


class PreferencesReply(BaseModel):
    """Units (metric or US), decimal mark (point or comma), paper (a4 or us-letter), the pages'
    language by its code, and the currency as prices are written."""

    units: str
    mark: str
    paper: str
    language: str
    currency: str


@router.get("/preferences")
def preferences(request: Request) -> PreferencesReply:
    """As they are."""
    return _reply(request.app.state.place.preferences.read())


@router.put("/preferences")
def keep(request: Request, sent: PreferencesReply) -> PreferencesReply:
    """From now on these; all of them are sent. The language is taken as it is: where the pages
    have it not, they are in English."""
    found = wanted(sent.model_dump())
    request.app.state.place.preferences.keep(found)
    return _reply(found)


def _reply(found: Preferences) -> PreferencesReply:
    return PreferencesReply(**dataclasses.asdict(found))
