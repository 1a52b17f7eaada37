"""What exists is asked for now and then, so that answers are made and not only refused."""

import os

import schemathesis


@schemathesis.hook
def before_call(context, case, kwargs):
    query = case.query
    if not query:
        return
    # Half of all, chosen by what was generated, so that a run can be repeated.
    if len(str(sorted(query.items()))) % 2 == 0:
        if case.path == "/api/export/{what}":
            query["session"] = os.environ["SESSION"]
        if case.path == "/api/thumbnail" and "example" in query:
            query["example"] = "hopper-lid"
