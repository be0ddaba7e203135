"""The sentences for problems of photographs."""

from __future__ import annotations

from typing import Final

from shop.words.catalogue import mark

PHOTOGRAPH: Final[dict[str, str]] = {
    "photograph.missing": mark("Choose a photograph first."),
    "photograph.large": mark("This photograph is too large. It may have up to %(most)s MB."),
    "photograph.points": mark("This photograph has too many points. It may have up to %(most)s million."),
    "photograph.kind": mark("This is no photograph that can be read. JPEG, PNG and WebP can."),
    "photograph.broken": mark("This photograph is damaged or ends early. Take it again, or send another."),
    "photograph.none": mark("This piece has no photograph."),
}
