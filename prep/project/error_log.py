"""What is written down of an unforeseen error: on the standard error output, with its traceback."""

import logging


class WithoutSecrets(logging.Filter):
    """Names the route of a request, not its path: that of an invitation is the secret itself."""

    def filter(self, record: logging.LogRecord) -> bool:
        """Take the path out of a record; never drops one."""
        request = getattr(record, "request", None)
        if request is not None:
            match = request.resolver_match
            route = match.route if match else "no page"
            record.msg, record.args = "%s %s failed", (request.method, route)
        return True
