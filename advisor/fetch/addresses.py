"""Which address may be asked. A service is told who calls, so it alone is to hear it.

A redirect is followed within the service's own origin (RFC 6454: scheme, host and port) and to no
other, so the keeper's contact goes nowhere else, and nothing goes in the clear that was asked for
over TLS.
"""

from __future__ import annotations

import ipaddress
from collections.abc import Mapping

import httpx

from advisor.base.text import one_line
from advisor.fetch.failure import FetchFailed

REDIRECTS = frozenset({301, 302, 303, 307, 308})
MOST_REDIRECTS = 5
_SHOWN = 80


def first_address(url: str, parameters: Mapping[str, str]) -> httpx.URL:
    """An address of a service, with its query. Raises `FetchFailed` for one of no use.

    It begins with https://; http:// is for a server on this machine.
    """
    try:
        found = httpx.URL(url)
        asked = found.copy_merge_params(parameters) if parameters else found
    except (httpx.InvalidURL, ValueError) as error:
        raise FetchFailed(f"{_shown(url)}: cannot be asked: {error}") from None
    if not found.host or found.scheme not in ("https", "http"):
        raise FetchFailed(f"{_shown(url)}: cannot be asked; wanted an address with https://")
    if found.scheme == "http" and not _is_here(found.host):
        raise FetchFailed(f"{_shown(url)}: is not asked without encryption; write https://")
    return asked


def next_address(response: httpx.Response, host: str) -> httpx.URL:
    """Where a redirect leads. Raises `FetchFailed` if that is nowhere, or another origin."""
    location = response.headers.get("location", "")
    if not location:
        raise FetchFailed(f"{host} answered {response.status_code} and did not say where to go")
    try:
        found = response.url.join(location)
    except (httpx.InvalidURL, ValueError):
        what = f"sends on to '{_shown(location)}', which is no address"
        raise FetchFailed(f"{host} {what}") from None
    if _origin(found) != _origin(response.url):
        what = f"sends on to '{_shown(location)}'; only {host} itself is asked"
        raise FetchFailed(f"{host} {what}")
    return found


def _origin(url: httpx.URL) -> tuple[str, bytes, int | None]:
    return url.scheme, url.raw_host, url.port


def _is_here(host: str) -> bool:
    try:
        return host == "localhost" or ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def _shown(address: str) -> str:
    return one_line(address[:_SHOWN]) + ("…" if len(address) > _SHOWN else "")
