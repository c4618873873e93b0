"""The routes below ``/api/`` that do things and look things up, apart from those that a page needs to draw itself."""

from fastapi import FastAPI

from chanterd.engraving.workshop import Workshop
from chanterd.music.tunes.shelf import Shelf
from chanterd.serving.bare_app import bare_app
from chanterd.serving.book_answers import BookPress
from chanterd.serving.daemon import Daemon
from chanterd.serving.late_route import prepare
from chanterd.serving.recordings import RecordingRoom
from chanterd.serving.routes.book import add_book_routes
from chanterd.serving.routes.chanter import InputRequest, ProfileRequest, add_chanter_routes
from chanterd.serving.routes.classes import KeepRequest, add_classes_routes
from chanterd.serving.routes.history import add_history_routes
from chanterd.serving.routes.klass import BODIES as CLASS_BODIES
from chanterd.serving.routes.klass import add_class_routes
from chanterd.serving.routes.listen import OfferRequest, add_listen_routes
from chanterd.serving.routes.past_free import add_past_free_routes
from chanterd.serving.routes.past_tunes import add_past_tune_routes
from chanterd.serving.routes.plans import PlanChange, SessionRequest, add_plan_routes, add_session_routes
from chanterd.serving.routes.players import NameRequest, SeatRequest, add_player_routes
from chanterd.serving.routes.practice import GuessRequest, PracticeRequest, add_practice_routes
from chanterd.serving.routes.progress import add_progress_routes
from chanterd.serving.routes.proposal import RefusalRequest, add_proposal_routes
from chanterd.serving.routes.repertoire import RepertoireRequest, add_repertoire_routes
from chanterd.serving.routes.seats import NewSeatRequest, add_seat_routes
from chanterd.serving.routes.sheet import SheetRequest, add_sheet_routes
from chanterd.serving.routes.tunes import add_tune_routes

BODIES = (
    PracticeRequest,
    GuessRequest,
    InputRequest,
    ProfileRequest,
    SessionRequest,
    PlanChange,
    NameRequest,
    SeatRequest,
    RefusalRequest,
    SheetRequest,
    OfferRequest,
    *CLASS_BODIES,
    KeepRequest,
    NewSeatRequest,
    RepertoireRequest,
)
FIELDS = tuple({field for body in BODIES for field in body.model_fields})
"""The fields of all bodies: one that is misspelt is compared with them."""


def make_api(daemon: Daemon, workshop: Workshop, press: BookPress, room: RecordingRoom) -> FastAPI:
    """The application of these routes."""
    shelf = Shelf(daemon.folder)
    app = bare_app(FIELDS)
    add_practice_routes(app, daemon, shelf)
    add_listen_routes(app, daemon, room)
    add_chanter_routes(app, daemon)
    add_session_routes(app, daemon)
    add_plan_routes(app, daemon)
    add_seat_routes(app, daemon)
    add_class_routes(app, daemon)
    add_classes_routes(app, daemon)
    add_book_routes(app, daemon, workshop, press)
    add_sheet_routes(app, workshop)
    add_tune_routes(app, daemon, shelf, workshop)
    add_repertoire_routes(app, daemon, shelf)
    add_player_routes(app, daemon)
    add_history_routes(app, daemon)
    add_past_tune_routes(app, daemon, shelf)
    add_past_free_routes(app, daemon)
    add_progress_routes(app, daemon)
    add_proposal_routes(app, daemon, shelf)
    prepare(app, "/api/practice")  # a run begins at once, and FastAPI itself loads modules with the first body
    return app
