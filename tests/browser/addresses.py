"""Every page that an application has, by its own list of addresses; so that a new page is looked at without being told."""

from shop.web.guide import CHAPTERS

# What stands in an address, where anything does: each value is a page of its own.
IN_ADDRESSES = {
    "quote.show_quote": [{"number": number} for number in (1, 4, 6, 8, 10)],
    "haul.show_haul": [{"haul_id": 2}, {"haul_id": 5}, {"haul_id": 6}],
    "piece.show_piece": [{"number": 1}, {"number": 12}, {"number": 25}, {"number": 26}, {"number": 29}],
    "picture.show_form": [{"number": 1}, {"number": 12}],
    "draw.show_draw": [{"number": 26}, {"number": 29}, {"number": 22}],
    "job.show_job": [{"number": 1}, {"number": 2}, {"number": 3}, {"number": 4}],
    "card.show_card": [{"number": 3}, {"number": 2}],
    "reach.show_reach": [{"number": 3}],
    "note.show_notes": [{"number": 1}, {"number": 2}],
    "job_photograph.show_photographs": [{"number": 1}, {"number": 2}],
    "job_photograph.show_photograph": [{"number": 1, "photograph": 1}, {"number": 1, "photograph": 2}],
    "measuring.show_measures": [{"number": 1}, {"number": 3}],
    "order.show_money": [{"number": 3}, {"number": 1}],
    "clock.show_time": [{"number": 3}],
    "quoted_real.show_compare": [{"number": 3}],
    "job.show_cloth": [{"number": 2, "piece": 28}],
    "split.show_split": [{"number": 26}, {"number": 29}],
    "split.show_spoil": [{"number": 27}],
    "keeping.show_keeping": [{"number": 26}, {"number": 29}, {"number": 3}],
    "learning.show_lesson": [
        {"on": "1", "what": "packing"},
        {"on": "2", "what": "weave_per_row"},
        {"on": "rotary", "what": "cut_per_m"},
    ],
    "loom.new_loom": [{"kind": kind} for kind in ("frame", "shaft", "plank")],
    "loom.show_loom": [{"number": number} for number in (1, 2, 3)],
    "rug.show_rug": [{"number": number} for number in (1, 2, 3, 7, 11, 13, 14)],
    "rug_entry.show_facts": [{"number": 1}, {"number": 14}],
    "rug_from_job.show_form": [{"number": 3}],
    "rug_sale.show_sell": [{"number": 1}, {"number": 2}],
    "rug_picture.show_form": [{"number": 1}],
    "outlet.show_outlet": [{"number": 1}, {"number": 2}],
    "till_desk.show_desk": [{"number": 1}],
    "fair.show_fair": [{"number": 2}, {"number": 3}],
    "fair.show_plan": [{"number": 3}],
    "fair_table.show_table": [{"number": 2}, {"number": 3}],
    "fair_reckoning.show_reckoning": [{"number": 1}, {"number": 2}],
    "guide.show_chapter": [{"key": key} for key in CHAPTERS],
}
# Papers are no pages; the door and the first start are looked at from outside.
NOT_LOOKED_AT = {
    "static",
    "favicon",
    "quote.customer_paper",
    "quote.weaver_paper",
    "labels.print_labels",
    "card.print_card",
    "card.print_label",
    "offer.new_offer",
    "offer.show_offer",  # the demo shop has made no offers; test_whole_life looks at these three
    "revisions.show_revisions",
    "customer.show_customer",
    "fair_papers.print_tags",
    "fair_papers.print_prices",
    "fair_papers.print_packing",
    "offer.print_offer",
    "money_paper.show_paper",
    "money_request.show_request",
    "customer.give_out",
    "answer.show_answer",
    "answer.print_answer",
    "answer.go_astray",  # opens nothing: looked at among those that are not there
    "from_file.empty_csv",
    "from_file.empty_workbook",
    "picture.show_large",
    "picture.show_small",
    "job_photograph.show_large",
    "job_photograph.show_small",
    "due_dates.write_calendar",
    "due_dates.subscribe",
    "due_dates.go_astray",
    "rug.open_tag",
    "rug_picture.show_large",
    "rug_picture.show_small",
    "rug_papers.print_tags",
    "rug_papers.print_prices",
    "rug_papers.print_packing",
    "till.show_worker",  # test_till looks at these, as a phone does
    "till.show_manifest",
    "till.show_pack",
    "till.show_picture",
    "receipt.show_receipt",
    "receipt.print_receipt",
    "history.write_csv",
    "history.write_workbook",
    "sign_in.show_sign_in",
    "first_start.show_first_start",
}
WITH_QUERIES = [
    "/fairs/beside?series=Alder+Green+market",
    "/jobs/history?find=rug",
    "/jobs/history?state=ready&paid=no&wide=1+ft",
    "/jobs/history?state=finished&most=0",
    "/jobs/queue?place-2=2&place-3=1",
    "/cloth/labels?haul=2&begin=5&sheet=letter-15",
    "/cloth?colour=blue&fibre=cotton",
    "/jobs/plan?job=3",
    "/jobs/plan?job=99",
    "/offers/new?quote=7",
    "/offers?show=all",
    "/customers?find=quill",
    "/jobs/3/reach?rows=60&left-0-length=9+yd&left-1-weight=2+lb",
    "/rugs?show=sold",
    "/rugs?find=mat",
    "/rugs?show=fair",
    "/rugs/papers?rug=1&rug=3&size=large",
    "/rugs/papers?numbers=1-14&size=middle",
    "/cloth?wide=2+ft&long=3+ft",
    "/cloth/worth?day=2026-01-01",
    "/quotes/?find=rug",
    "/quotes/?find=nothing+like+it",
    "/quotes/new?like=7",
    "/quotes/month?likely=80",
]
WRONG = ["/nowhere", "/quotes/9999", "/quotes/?after=nonsense", "/guide/nothing", "/o/nothing/at-all", "/calendar/nothing"]


def pages_of(app, *, one_of_each=False):
    """The address of every page of the demo shop; or of one of each that are alike, and without searches."""
    found = []
    urls = app.url_map.bind("127.0.0.1")
    for rule in app.url_map.iter_rules():
        if "GET" in rule.methods and rule.endpoint not in NOT_LOOKED_AT:
            values = IN_ADDRESSES.get(rule.endpoint) if rule.arguments else [{}]
            assert values, (
                f"{rule.endpoint} is a page that no browser test looks at: say in IN_ADDRESSES which"
            )
            found += [urls.build(rule.endpoint, one) for one in values[: 1 if one_of_each else None]]
    return sorted(found) + ([] if one_of_each else WITH_QUERIES)
