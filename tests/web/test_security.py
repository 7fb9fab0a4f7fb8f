"""Who may ask, and what a page may load."""

from __future__ import annotations

from pathlib import Path

import pytest

from server.security import BODY_LIMIT, own_hosts
from tests.web.desk import HOST, ORIGIN, PORT, Desk, open_desk

PATHS = ["/", "/light", "/api/state", "/api/events?role=page&window=w1", "/static/js/api.js", "/api/nothing"]
FOREIGN_HOSTS = [
    "evil.example",
    f"evil.example:{PORT}",
    "127.0.0.1",
    "127.0.0.1:9999",
    f"127.0.0.1.evil.example:{PORT}",
    f"0.0.0.0:{PORT}",
    f"[::1]:{PORT}",
    "",
    f"localhost:{PORT}0",
    f" {HOST}",
]
FOREIGN_ORIGINS = [
    "null",
    "http://evil.example",
    f"https://127.0.0.1:{PORT}",
    "http://127.0.0.1",
    "http://127.0.0.1:9999",
    f"http://127.0.0.1:{PORT}.evil.example",
    f"http://user@127.0.0.1:{PORT}",
    "",
]


@pytest.mark.parametrize("path", PATHS)
@pytest.mark.parametrize("host", FOREIGN_HOSTS)
def test_a_foreign_host_is_refused_everywhere(desk: Desk, path: str, host: str) -> None:
    answer = desk.ask("GET", path, Host=host)
    assert answer.status_code == 403
    assert desk.token not in answer.get_data(as_text=True)


@pytest.mark.parametrize("host", [f"localhost:{PORT}", f"LocalHost:{PORT}", HOST])
def test_our_own_names_are_answered(desk: Desk, host: str) -> None:
    assert desk.ask("GET", "/api/state", Host=host).status_code == 200


def test_on_port_80_browsers_leave_the_port_out() -> None:
    assert "localhost" in own_hosts(80)
    assert "localhost" not in own_hosts(8080)


@pytest.mark.parametrize("origin", FOREIGN_ORIGINS)
@pytest.mark.parametrize(("method", "path"), [("GET", "/api/state"), ("POST", "/api/practice/start")])
def test_a_foreign_origin_is_refused(desk: Desk, origin: str, method: str, path: str) -> None:
    body: dict[str, str] | None = {} if method == "POST" else None
    assert desk.ask(method, path, body, Origin=origin, Sec_Fetch_Site=None).status_code == 403
    assert desk.get("/api/state")["first_start"] is True


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_a_page_elsewhere_cannot_ask_the_api_even_for_reading(desk: Desk, site: str) -> None:
    for mode in ("cors", "no-cors", "navigate"):
        assert desk.ask("GET", "/api/state", Sec_Fetch_Site=site, Sec_Fetch_Mode=mode).status_code == 403
    assert desk.ask("GET", "/static/js/api.js", Sec_Fetch_Site=site, Sec_Fetch_Mode="no-cors").status_code == 403


def test_a_link_from_elsewhere_opens_a_page(desk: Desk) -> None:
    assert desk.ask("GET", "/help", Sec_Fetch_Site="cross-site", Sec_Fetch_Mode="navigate").status_code == 200
    assert desk.ask("GET", "/help", Sec_Fetch_Site="none", Sec_Fetch_Mode="navigate").status_code == 200


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": None},
        {"Origin": None, "Sec-Fetch-Site": "cross-site"},
        {"Origin": None, "Sec-Fetch-Site": "same-site"},
        {"Origin": None, "Sec-Fetch-Site": "none"},
        {"Sec-Fetch-Site": "cross-site"},
        {"X-Hidelight-Token": None},
        {"X-Hidelight-Token": ""},
        {"X-Hidelight-Token": "guess"},
        {"X-Hidelight-Token": "gu\u00e9ss"},
    ],
    ids=str,
)
def test_a_change_needs_origin_and_token(desk: Desk, headers: dict[str, str | None]) -> None:
    assert desk.ask("POST", "/api/practice/start", {}, **headers).status_code == 403
    assert desk.get("/api/state")["first_start"] is True


@pytest.mark.parametrize("headers", [{}, {"Origin": None, "Sec-Fetch-Site": "same-origin"}], ids=str)
def test_our_own_page_may_change_things(desk: Desk, headers: dict[str, str | None]) -> None:
    assert desk.ask("POST", "/api/practice/start", {}, **headers).status_code == 200


def test_the_token_is_another_one_in_every_run(desk: Desk, tmp_path: Path) -> None:
    other = open_desk(tmp_path / "other")
    assert other.token != desk.token
    assert other.ask("POST", "/api/practice/start", {}, X_Hidelight_Token=desk.token).status_code == 403
    other.shop.close()


@pytest.mark.parametrize("method", ["GET", "HEAD", "OPTIONS"])
def test_reading_changes_nothing(desk: Desk, method: str) -> None:
    before = desk.get("/api/state")
    for rule in desk.app.url_map.iter_rules():
        path = rule.rule.replace("<int:number>", "1").replace("<name>", "belt-pouch")
        if "<" not in path and path != "/api/events":
            desk.ask(method, path)
    assert desk.get("/api/state") == before


@pytest.mark.parametrize("path", ["/", "/api/state", "/static/js/api.js", "/api/nothing", "/nowhere"])
def test_headers_come_with_every_answer(desk: Desk, path: str) -> None:
    headers = desk.ask("GET", path).headers
    policy = dict(part.strip().split(" ", 1) for part in headers["Content-Security-Policy"].split(";"))
    assert policy["default-src"] == "'none'"
    assert policy["script-src"] == policy["style-src"] == policy["connect-src"] == "'self'"
    assert policy["frame-ancestors"] == policy["base-uri"] == "'none'"
    assert "unsafe" not in headers["Content-Security-Policy"]
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["Cross-Origin-Opener-Policy"] == headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert "Access-Control-Allow-Origin" not in headers


def test_pages_and_answers_are_not_kept_by_the_browser(desk: Desk) -> None:
    assert desk.ask("GET", "/").headers["Cache-Control"] == "no-store"
    assert desk.ask("GET", "/api/state").headers["Cache-Control"] == "no-store"


@pytest.mark.parametrize("page", ["/", "/draft", "/check", "/practice", "/light", "/help"])
def test_pages_hold_no_inline_script_or_style(desk: Desk, page: str) -> None:
    """The policy would block them; a page that needs one would be broken in every browser."""
    text = desk.ask("GET", page).get_data(as_text=True)
    for part in text.split("<script")[1:]:
        assert part.split("</script>")[0].split(">", 1)[1].strip() == ""
    assert "<style" not in text
    assert " style=" not in text
    assert " onclick=" not in text


def test_a_body_may_be_one_mebibyte_and_no_more(desk: Desk) -> None:
    fitting = b'{"pad": "' + b"x" * (BODY_LIMIT - 11) + b'"}'
    assert len(fitting) == BODY_LIMIT
    assert desk.ask("POST", "/api/things", fitting).status_code == 422
    answer = desk.ask("POST", "/api/things", fitting + b" ")
    assert answer.status_code == 413
    assert answer.json is not None
    assert "1 MiB" in answer.json["error"]["sentence"]


@pytest.mark.parametrize(
    "kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data", "text/json"]
)
def test_only_json_is_read(desk: Desk, kind: str) -> None:
    """The kinds that a foreign form can send are refused before they are read."""
    answer = desk.ask("POST", "/api/practice/start", b"{}", Content_Type=kind)
    assert answer.status_code == 415


def test_json_may_say_its_charset(desk: Desk) -> None:
    answer = desk.ask("POST", "/api/practice/start", b"{}", Content_Type="application/json; charset=utf-8")
    assert answer.status_code == 200


@pytest.mark.parametrize(
    "body",
    [
        b"{",
        b"[]",
        b'"text"',
        b"null",
        b'{"size": NaN}',
        b'{"size": Infinity}',
        b'{"size": 1e999}',
        b'{"size": -1e999}',
        b'{"size": 1' + b"0" * 5000 + b"}",
        b'{"size": 9007199254740993}',
        b'{"size": 300, "size": 400}',
        b'{"a": ' * 12 + b"1" + b"}" * 12,
        b"[" * 100_000 + b"]" * 100_000,
        b'{"name": "\\ud800"}',
        b'{"\\udfff": 1}',
        b"\xff\xfe{}",
        b'{"name": "\xc3\x28"}',
        b"{'size': 300}",
        b'{"size": 300,}',
    ],
    ids=lambda body: repr(body[:24]),
)
def test_json_is_read_strictly(desk: Desk, body: bytes) -> None:
    answer = desk.ask("POST", "/api/practice/read", body)
    assert answer.status_code == 400
    assert answer.json is not None
    assert answer.json["error"]["sentence"].count("\n") == 0


def test_requests_that_name_another_origin_leave_no_trace(desk: Desk) -> None:
    """What a hostile page would try: a form post with a guessed token, without reading anything first."""
    for kind in ("text/plain", "application/json"):
        answer = desk.ask(
            "POST",
            "/api/things",
            b'{"name": "x"}',
            Origin="http://evil.example",
            Content_Type=kind,
            X_Hidelight_Token="x",  # noqa: S106
        )
        assert answer.status_code == 403
    assert desk.get("/api/things") == []
    assert desk.ask("GET", "/api/things", Origin=ORIGIN).status_code == 200
