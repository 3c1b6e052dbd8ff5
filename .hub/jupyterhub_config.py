"""JupyterHub for a class: every member has an account, a home and a Python of their own on one machine.

DEVELOPERS.md ("A class on one address") tells how to set it up, and ``.ci/class`` tries it. JupyterHub reads this file.
"""

import os
import sys

c = get_config()  # noqa: F821 - JupyterHub puts it here

PROGRAMS = os.path.dirname(sys.executable)
STATE = os.environ.get("HEATLIB_HUB_STATE", os.getcwd())
"""Where the hub keeps its list of logins and its cookie secret: a folder that only its own account can read."""

# This machine alone can reach it. What stands in front gives the public address and HTTPS.
c.JupyterHub.bind_url = os.environ.get("HEATLIB_HUB_ADDRESS", "http://127.0.0.1:8000")
c.JupyterHub.db_url = f"sqlite:///{STATE}/hub.sqlite"
c.JupyterHub.cookie_secret_file = os.path.join(STATE, "cookie_secret")
c.ConfigurableHTTPProxy.pid_file = os.path.join(STATE, "proxy.pid")

# Who may come in: accounts of this machine in the group "heatclass", with the password of their account.
c.JupyterHub.authenticator_class = "pam"
c.PAMAuthenticator.allowed_groups = {"heatclass"}
c.PAMAuthenticator.open_sessions = False

# Each member's pages and kernels run under their own account, so that the system itself keeps their files apart.
c.JupyterHub.spawner_class = "jupyterhub.spawner.LocalProcessSpawner"
c.Spawner.cmd = [os.path.join(PROGRAMS, "jupyterhub-singleuser")]
c.Spawner.notebook_dir = "~/heatlib"
c.Spawner.default_url = "/lab/tree/lessons/01-why-barrels-of-water.ipynb"
c.Spawner.args = [
    # Sockets in the member's own folder: on ports of this machine, others with an account here could listen in.
    "--ConnectionFileMixin.transport=ipc",
    # A kernel that nobody looks at for an hour ends, and then the member's server, so that memory comes back.
    "--MappingKernelManager.cull_idle_timeout=3600",
    "--ServerApp.shutdown_no_activity_timeout=3600",
]
# One thread a member: on a shared machine more of them only wait for each other.
c.Spawner.environment = dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"), "1")
# A class comes in all at once. Past this limit JupyterHub turns members away with an error page, so it is set high and
# the time to start is long.
c.JupyterHub.concurrent_spawn_limit = 40
c.Spawner.start_timeout = c.Spawner.http_timeout = 180
c.JupyterHub.active_server_limit = 40
