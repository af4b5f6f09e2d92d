"""Who may speak to the desk: an ASGI application goes in, the same one behind its checks comes out.

Any web page that a browser has open can send requests to 127.0.0.1, and a name of a foreign site can be made to point
there (DNS rebinding). So each request must name this very host and port, come from this very page, and carry in its
path a token that only the one who started the desk was told.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable, Iterable
from typing import Final

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

PAGE_POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; connect-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'; "
    "require-trusted-types-for 'script'; trusted-types 'none'"
)

HEADERS: Final = (
    ("content-security-policy", PAGE_POLICY),
    ("x-content-type-options", "nosniff"),
    ("x-frame-options", "DENY"),
    ("referrer-policy", "no-referrer"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    ("permissions-policy", "geolocation=(), microphone=(), payment=(), usb=()"),
    ("cache-control", "no-store"),
)

SAFE_METHODS: Final = frozenset({"GET", "HEAD"})


def new_token() -> str:
    """A token that cannot be guessed: 192 bits, safe in a path."""
    return secrets.token_urlsafe(24)


class Guard:
    """Refuses what does not come from the desk's own page, and adds the security headers to every answer."""

    def __init__(self, app: ASGIApp, *, port: int, token: str, on_close: Callable[[], None] = lambda: None) -> None:
        self.app = app
        self.on_close = on_close
        self.hosts = frozenset({f"127.0.0.1:{port}", f"localhost:{port}"})
        self.origins = frozenset(f"http://{h}" for h in self.hosts)
        self.token = token

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one connection."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            return

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS:
                    headers.setdefault(name, value)
            await send(message)

        refused = self.refusal(scope)
        if refused:
            status, text = refused
            await PlainTextResponse(text + "\n", status)(scope, receive, send_guarded)
            return
        prefix = "/" + self.token
        inner = dict(scope, path=scope["path"][len(prefix) :], root_path="", raw_path=None)
        await self.app(inner, receive, send_guarded)

    def refusal(self, scope: Scope) -> tuple[int, str] | None:
        """Status and reason where the request is refused, None where it may pass."""
        headers = Headers(scope=scope)
        hosts, origins = headers.getlist("host"), headers.getlist("origin")
        if len(hosts) != 1 or hosts[0].lower() not in self.hosts:
            return 421, "This desk answers to its own address only."
        if any(o not in self.origins for o in origins):
            return 403, "This request comes from another page."
        if scope["method"] not in SAFE_METHODS and len(origins) != 1:
            return 403, "Only the desk's own page may change anything."
        if not self._site_is_own(scope["method"], headers.getlist("sec-fetch-site")):
            return (
                403,
                "This request was started by another site. Paste the address of the desk into the browser yourself.",
            )
        first = scope["path"].split("/", 2)[1] if scope["path"].startswith("/") else ""
        if not secrets.compare_digest(first.encode("utf-8", "replace"), self.token.encode()):
            return 404, "There is no desk at this address. Open the address that the desk printed when it was started."
        return None

    @staticmethod
    def _site_is_own(method: str, sites: Iterable[str]) -> bool:
        # "none" is an address typed or opened by the person; a page can never send it.
        allowed = {"same-origin", "none"} if method in SAFE_METHODS else {"same-origin"}
        return all(s in allowed for s in sites)
