"""How the tester writes lines of JSON, which it does not know by itself."""

import json

import schemathesis


@schemathesis.serializer("application/x-ndjson")
def lines(context, value):
    if isinstance(value, bytes):
        return value
    if isinstance(value, str):
        return value.encode("utf-8", "replace")
    items = value if isinstance(value, list) else [value]
    return "".join(json.dumps(item) + "\n" for item in items).encode()
