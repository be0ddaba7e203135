"""A photograph on its way in and out, whatever it is of: the file that a phone sent, and the picture behind the door."""

from __future__ import annotations

from typing import Any

from flask import Response, request
from werkzeug.datastructures import FileStorage
from werkzeug.exceptions import RequestEntityTooLarge

from shop.core.errors import Problem
from shop.usecases.developing import LARGEST_FILE
from shop.usecases.picture import Shown
from shop.web.errors import wrong
from shop.web.shell import words_now
from shop.web.typed_field import TypedField
from shop.words.problems import problem_sentence


class PhotographField(TypedField):
    """The entry for a photograph; ends in the file, empty when none was chosen. What it holds is for the use case to say."""

    kind = "photograph"

    def __init__(self, label: str = "", **kwargs: Any) -> None:
        """An entry for a photograph."""
        super().__init__(label, **{"needed": False, "where": "photograph", **kwargs})

    def process_formdata(self, valuelist: list[Any]) -> None:
        """Read the file, and never further than is of use."""
        self.problems = []
        sent = valuelist[0] if valuelist else None
        self.data = sent.read(LARGEST_FILE + 1) if isinstance(sent, FileStorage) else b""


def tell_largest(_: RequestEntityTooLarge) -> Response:
    """A file so large that it was not even read: how large it may be."""
    largest = Problem("photograph.large", values={"most": LARGEST_FILE // 1024 // 1024})
    return wrong(413, problem_sentence(largest, words_now()), back=True)


def jpeg(found: Shown, *, small: bool) -> Response:
    """The picture itself: kept by the browser, and asked for again at the door."""
    answer = Response(found.content, mimetype="image/jpeg")
    answer.set_etag(f"{found.digest}-{'small' if small else 'large'}")
    answer.headers["Cache-Control"] = "private, no-cache"
    return answer.make_conditional(request)
