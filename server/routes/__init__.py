"""One blueprint a file; each route parses, calls one service, and answers."""

from server.routes.alignment import alignment
from server.routes.benches import benches
from server.routes.bin import bins
from server.routes.check import check
from server.routes.compare import compare
from server.routes.drafting import drafting
from server.routes.guard import guard
from server.routes.jobs import jobs
from server.routes.layouts import layouts
from server.routes.light import light
from server.routes.own import own
from server.routes.pages import pages
from server.routes.paper import paper
from server.routes.patterns import patterns
from server.routes.phones import phones
from server.routes.practice import practice
from server.routes.rack import rack
from server.routes.seeing import seeing
from server.routes.sessions import sessions
from server.routes.sheets import sheets
from server.routes.spans import spans
from server.routes.state import state
from server.routes.things import things
from server.routes.undo import undo

BLUEPRINTS = (
    pages,
    state,
    light,
    seeing,
    drafting,
    things,
    patterns,
    own,
    benches,
    sessions,
    layouts,
    jobs,
    alignment,
    spans,
    check,
    guard,
    phones,
    practice,
    rack,
    sheets,
    paper,
    undo,
    bins,
    compare,
)
"""Every blueprint of the application."""
