"""Settings of the service profile's web server: `gunicorn --config python:prep.project.web_server`.

It stands behind a proxy, which ends TLS and takes whole requests before it passes them on (README,
"What the proxy limits"). The limits here hold where a proxy's do not.
"""

from typing import Final

wsgi_app: Final = "prep.project.wsgi:application"
bind: Final = "0.0.0.0:8000"
workers: Final = 3
worker_class: Final = "prep.project.web_worker.BoundedWorker"
threads: Final = 8
worker_connections: Final = 200  # a worker; more wait in the kernel
backlog: Final = 512
keepalive: Final = 5
timeout: Final = 60  # a worker that is stuck as a whole
graceful_timeout: Final = 30
limit_request_line: Final = 4094
limit_request_fields: Final = 60
limit_request_field_size: Final = 8190
max_requests: Final = 20_000  # a worker, then it is replaced
max_requests_jitter: Final = 2_000
accesslog: Final = "-"
control_socket_disable: Final = True  # nobody here speaks to it
