"""A visitor of the desk for tests: Flask's client, which reads a form's token as a browser does."""

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from benchleaf.cli.desk.app import Desk, application
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

_TOKEN = re.compile(r'name="token" value="([^"]{1,80})"')


@dataclass
class Visit:
    client: FlaskClient

    def get(self, at: str, **how: Any) -> TestResponse:
        return self.client.get(at, **how)

    def token(self, at: str) -> str:
        found = _TOKEN.search(self.get(at).text)
        assert found, f"no form on {at}"
        return found[1]

    def post(self, at: str, data: dict[str, Any], page: str, **how: Any) -> TestResponse:
        """Sends a form of `page`, with its token."""
        return self.client.post(at, data={"token": self.token(page), **data}, **how)


def visit(folder: Path, **desk: Any) -> Visit:
    made = application(Desk(folder, **desk))
    made.testing = False
    return Visit(made.test_client())
