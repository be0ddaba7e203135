"""A bare Flask page, to hold ours against: no database, no session, no form, no headers of its own.

Two of them, both of the very size of ours in bytes. One answers with a string made beforehand. The other renders
a Jinja template with escaping on: a table, each cell printing an attribute of a row, as many values in all as our
templates print in ``{{ }}``, and then plain text up to the size.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

from flask import Flask, render_template

TEMPLATE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>Bare</title></head><body><table>
{% for row in rows %}
<tr><td>{{ row.a }}</td><td>{{ row.b }}</td><td>{{ row.c }}</td><td>{{ row.d }}</td><td>{{ row.e }}</td></tr>
{% endfor %}
</table><p>PADDING</p></body></html>
"""


@dataclass(frozen=True, slots=True)
class Row:
    """Five values of a bare table."""

    a: str
    b: str
    c: str
    d: str
    e: str


def bare_app(*, size: int, values: int) -> Flask:
    """The bare application: ``/string`` and ``/template``, both of so many bytes; the second prints so many values."""
    app = Flask("bare", template_folder=None, static_folder=None)
    app.add_url_rule("/string", "string", lambda: "x" * size)
    rows = [Row(*(str(number % 10) for _ in fields(Row))) for number in range(-(-values // len(fields(Row))))]
    unpadded = app.jinja_env.from_string(TEMPLATE.replace("PADDING", "")).render(rows=rows)
    template = app.jinja_env.from_string(
        TEMPLATE.replace("PADDING", "x" * max(0, size - len(unpadded.encode())))
    )
    template.name = "bare.html"
    app.add_url_rule("/template", "template", lambda: render_template(template, rows=rows))
    return app
