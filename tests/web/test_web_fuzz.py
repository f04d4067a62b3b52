"""Whatever is sent to the API: never an answer that says the server broke, always the one shape."""

from typing import Any

import schemathesis
from hypothesis import HealthCheck, given, settings
from served import Served

from wortline.web.services import memory_services

MANY = settings(
    max_examples=15,
    deadline=None,
    derandomize=True,
    database=None,
    suppress_health_check=list(HealthCheck),
)


def test_the_api_never_breaks() -> None:
    with Served(memory_services()) as server:
        described = schemathesis.openapi.from_url(f"{server.url}/openapi.json")
        operations = [found.ok() for found in described.get_all_operations()]
        assert len(operations) >= 13
        for operation in operations:

            @MANY
            @given(case=operation.as_strategy())
            def ask(case: Any) -> None:
                answer = case.call(base_url=server.url, headers={"Origin": server.url})
                assert answer.status_code < 500, case
                if answer.status_code >= 400:
                    error = answer.json()["error"]
                    assert error["code"], case
                    assert error["text"], case

            ask()
