"""Unusual spellings of an address, and a client that sends a request target unchanged."""

import http.client
import re
import socket

HOST = "http://bakery.example"


def _encoded(text: str) -> str:
    return "".join(f"%{byte:02x}" for byte in text.encode())


# Request targets for a path: the path with something before or after it; URLs with an extra slash, another
# scheme, no host or a fragment; and texts in which a URL library finds the path, with or without its first
# slash.
_WHOLE = r"""
    /{path} //{path} {path}/ {path}// {path}/. {path}/x/.. /.{path} /x/..{path} /%2e{path} /x/%2e%2e{path}
    /;a=1{path} /%2f{rest} /%5c{rest} /\{rest} /%252f{rest} {path}%2f {path}%00 {path}%0a {path}%0d%0a
    {path}%20 {path}%09 {path}\ {path}; {path};a=1 {path};/ {path}# {path}#a {path}%23a
    {path}%3f {path}%3fshow=result {path}&show=result {host}/{path} {host}{path}/ {host}{path}#a
    ftp://bakery.example{path} http://{path} a:{rest}?:// a:{rest}#:// a:{path}?:// a:b://{path}
    http:{path}?:// ://{path}
"""
# Replacements for a slash inside the path.
_SLASHES = r"// /// /./ /x/../ /%2e/ /x/%2e%2e/ %2f %2F %5c \ %252f /%2f /;/ ;/ %c0%af /%20/ /%00/"


def other_spellings(path: str) -> set[str]:
    """Request targets that some server, proxy or router may treat as ``path``. We don't."""
    found = {text.format(path=path, rest=path[1:], host=HOST) for text in _WHOLE.split()} | {path.upper()}
    for at, letter in enumerate(path):
        before, after = path[:at], path[at + 1 :]
        if letter == "/" and at:
            found |= {before + slash + after for slash in _SLASHES.split()}
        if letter != "/":
            found |= {before + _encoded(letter) + after, before + _encoded(_encoded(letter)) + after}
        if letter.isalpha():  # in upper case, and full-width
            found |= {before + letter.upper() + after, before + _encoded(chr(ord(letter) + 0xFEE0)) + after}
    return found - {path}


def raw(
    where: tuple[str, int], method: str, target: str, body: bytes = b"", headers: dict[str, str] | None = None
):
    """Status, headers (lower case, the last of each) and body of the answer to a target sent unchanged."""
    with socket.create_connection(where, timeout=20) as connection:
        head = {
            "Host": "bakery.example",
            "Connection": "close",
            "Content-Length": str(len(body)),
            **(headers or {}),
        }
        lines = [f"{method} {target} HTTP/1.1", *(f"{name}: {value}" for name, value in head.items()), "", ""]
        connection.sendall("\r\n".join(lines).encode("ascii") + body)
        response = http.client.HTTPResponse(connection, method=method)
        response.begin()
        return (
            response.status,
            {name.lower(): value for name, value in response.getheaders()},
            response.read(),
        )


def addresses(app) -> dict[str, set[str]]:
    """Path -> methods, for every path that the application has a route for."""
    found = {}
    for rule in app.url_map.iter_rules():
        paths = [rule.rule]
        if rule.arguments:  # the page's files, one route for them all: an escaped list of paths
            (argument,) = rule.arguments
            paths = [
                "/" + re.sub(r"\\(.)", r"\1", part) for part in rule._converters[argument].regex.split("|")
            ]
        for path in paths:
            found.setdefault(path, set()).update(rule.methods)
    return found
