"""One blueprint a file; each route parses, calls one service, and answers."""

from server.routes.benches import benches
from server.routes.check import check
from server.routes.drafting import drafting
from server.routes.guard import guard
from server.routes.layouts import layouts
from server.routes.light import light
from server.routes.pages import pages
from server.routes.patterns import patterns
from server.routes.practice import practice
from server.routes.rack import rack
from server.routes.sessions import sessions
from server.routes.sheets import sheets
from server.routes.state import state
from server.routes.things import things

BLUEPRINTS = (
    pages,
    state,
    light,
    drafting,
    things,
    patterns,
    benches,
    sessions,
    layouts,
    check,
    guard,
    practice,
    rack,
    sheets,
)
"""Every blueprint of the application."""
