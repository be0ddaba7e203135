"""What a rug is woven of, and how to care for it, in the shop's words, as its label and its tag say it."""

from __future__ import annotations

from shop.core.fibre_content import ContentLine, Said
from shop.paper.advice import fibre_text, short_care
from shop.words import Words


def content_text(lines: tuple[ContentLine, ...], words: Words) -> str:
    """A fibre content in words: each fibre of five per cent and more, the others together, what nobody knows last."""
    told = []
    for line in lines:
        share = words.percent(line.percent / 100, 0)
        if line.said is Said.NAMED:
            told.append(f"{share} {fibre_text(line.fibres[0].value, words)}")
        elif line.said is Said.OTHER:
            told.append(
                words.say("%(share)s other fibre", share=share)
                if len(line.fibres) == 1
                else words.say("%(share)s other fibres", share=share)
            )
        else:
            told.append(words.say("%(share)s unknown fibres", share=share))
    return ", ".join(told)


def content_and_care(lines: tuple[ContentLine, ...], words: Words) -> dict[str, str]:
    """What a rug's tag says, by name: its content, and how to care for it."""
    fibres = [fibre.value for line in lines for fibre in line.fibres]
    return {"fibres": content_text(lines, words), "care": short_care(words, fibres)}
