"""The sentences for problems of the house itself: accounts, the shop's settings, the database, the command."""

from __future__ import annotations

from typing import Final

from shop.words.catalogue import mark

ACCOUNT: Final[dict[str, str]] = {
    "sign_in.wrong": mark("That name and password do not go together."),
    "password.short": mark(
        "A password needs at least %(least)s characters. Several words in a row are good."
    ),
    "password.long": mark("A password can have at most %(most)s characters."),
    "password.wrong": mark("That is not the password you have now."),
    "password.differs": mark("The two passwords are not the same."),
    "account.exists": mark("This shop already has its owner. Sign in instead."),
    "account.unknown": mark("There is no account of that name."),
}
SHOP: Final[dict[str, str]] = {
    "shop.lines": mark("An address can have at most %(most)s lines."),
    "shop.colours": mark("A mark has from one to %(most)s stripes."),
    "shop.currency_fixed": mark(
        "Money has been written down in %(currency)s, so the currency can no longer change."
    ),
    "shop.changed": mark(
        "The shop’s settings were changed in another window since this page was loaded. Load it again first."
    ),
}
STORE: Final[dict[str, str]] = {
    "saving.token": mark(
        "This form lacks its mark of being ours. Load the page again and send it once more."
    ),
    "saving.other": mark(
        "An earlier press of this page was saved, with other content. What stands here now is not saved yet: "
        "look it over, and press once more."
    ),
    "saving.revision": mark(
        "This form no longer says what it was made from. Load the page again, and write it once more."
    ),
    "store.clash": mark("Somebody else was saving the same thing. Load the page again and look."),
    "store.none": mark("There is no database at %(file)s."),
    "migrate.needed": mark("This database is not of this version. Run “thriftloom migrate” first."),
    "migrate.newer": mark(
        "This database belongs to a newer Thriftloom than this one. Install the newer one."
    ),
    "migrate.foreign_keys": mark("The database holds rows that point at nothing, so it was left as it was."),
    "backup.postgresql": mark(
        "This shop’s database is PostgreSQL: make the copy with its own tool, pg_dump."
    ),
    "backup.missing": mark("There is no database at %(text)s yet, so there is nothing to copy."),
    "backup.exists": mark("%(text)s is there already. Name a new file."),
    "backup.folder": mark("The folder %(text)s is not there, or cannot be written to."),
    "backup.damaged": mark(
        "The database at %(text)s cannot be read whole. Keep it, and look for an earlier copy."
    ),
}
SETTING: Final[dict[str, str]] = {
    "setting.port": mark("“%(text)s” is not a port. Give a number from 1 to 65535."),
    "setting.count": mark("“%(text)s” is not a count. Give a whole number from 1 to 1000."),
    "setting.yes_or_no": mark("“%(text)s” is neither true nor false. Give one of them."),
    "setting.host": mark("“%(text)s” is not an address to listen on, such as 127.0.0.1."),
    "setting.public_address": mark(
        "“%(text)s” is not an address that a phone could open. Write it whole, such as http://192.168.1.20:8000."
    ),
    "setting.smtp_host": mark("“%(text)s” is not a mail server, such as mail.example.org."),
    "setting.mail_from": mark("“%(text)s” is not a sender. Write it as name@example.org or Name <name@example.org>."),
    "setting.mail_from_missing": mark("Letters need a sender: give mail_from as well as smtp_host."),
    "setting.log_level": mark("“%(text)s” is not a log level. Give DEBUG, INFO, WARNING, ERROR or CRITICAL."),
    "setting.secret_key": mark("The secret key is too short: it needs at least 32 characters."),
    "setting.key_file": mark(
        "The file of the secret key holds signs that no key has. Put back the key, or remove the file: a new key is "
        "made, and everybody signs in again."
    ),
    "setting.database_url": mark(
        "That is not the URL of a database file or server. Give sqlite:///FILE or postgresql://USER@HOST/NAME."
    ),
    "setting.unknown": mark("“%(text)s” is no setting. Did you mean “%(nearest)s”?"),
    "setting.file": mark("The file of settings cannot be read: %(text)s"),
    "setting.folder": mark("The folder %(text)s cannot be made or written to."),
}
GIVEN: Final[dict[str, str]] = {
    "text.control": mark("There are signs in this that cannot be kept. Type it again by hand."),
    "number.finer": mark("This can have at most %(places)s decimals."),
    "length.most": mark("This must be at most %(most)s."),
    "weight.most": mark("This must be at most %(most)s."),
    "document.unusable": mark("This rug is described in a way that cannot be kept. Load the page again."),
}
HOUSE: Final[dict[str, str]] = {**ACCOUNT, **SHOP, **STORE, **SETTING, **GIVEN}
