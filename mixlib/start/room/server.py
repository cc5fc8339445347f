"""Jupyter's reading view for a room: open no further than its pages need, a folder for each visitor."""

from __future__ import annotations

import asyncio
import os
import secrets
import subprocess
import tempfile
import webbrowser
from collections.abc import AsyncIterator, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import segno
from jupyter_client.asynchronous.client import AsyncKernelClient
from jupyter_core.utils import run_sync
from jupyter_server.base.handlers import FileFindHandler, Template404
from jupyter_server.services.kernels.handlers import KernelHandler
from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager
from jupyterlab_server.themes_handler import ThemesHandler
from tornado.web import HTTPError
from traitlets.config import Config
from voila.app import Voila
from voila.handler import BaseVoilaHandler
from voila.shutdown_kernel_handler import VoilaShutdownKernelHandler
from voila.static_file_handler import MultiStaticFileHandler, TemplateStaticFileHandler
from voila.tornado.handler import TornadoVoilaHandler
from voila.tornado.kernel_websocket_handler import VoilaKernelWebsocketHandler

__all__ = ["Room"]

_PAGES = Path(__file__).parent / "pages"
_PAGES_EACH = 3  # open at once by one visitor: a further one puts the first away
_DROPPED_AFTER = timedelta(seconds=45)  # a page that is gone this long gives its seat to who asks for one
_COOKIE = "visit"
# What a page of the reading view asks for; each kernel is behind a name of its own that cannot be guessed.
_NEEDED = (
    FileFindHandler,
    MultiStaticFileHandler,
    TemplateStaticFileHandler,
    ThemesHandler,
    VoilaKernelWebsocketHandler,
    VoilaShutdownKernelHandler,
)


class _Seats(AsyncMappingKernelManager):
    """The kernels, one for each open page: whose they are, and how many there may be."""

    parent: Room
    get_rendered_notebook: Any  # Voila adds it

    def __init__(self, **given: Any):
        super().__init__(**given)
        self._opening = 0
        self._pages: dict[str, str] = {}  # of each kernel that was given to a page: the visitor's folder

    def pages(self) -> dict[str, str]:
        """Kernels of the pages that are open, the oldest first, each with its visitor's folder."""
        return {kernel: folder for kernel, folder in self._pages.items() if kernel in self}

    def taken(self) -> int:
        """How many seats are taken."""
        return len(self.pages()) + self._opening

    @contextmanager
    def _seat(self) -> Iterator[None]:
        if self.taken() >= self.parent.seats:
            raise HTTPError(503)
        self._opening += 1
        try:
            yield
        finally:
            self._opening -= 1

    async def start_kernel(self, *, env: dict[str, str], **given: Any) -> str:  # type: ignore[override]
        """Start a page's kernel: in its visitor's folder, or in an empty one while it waits for a visitor."""
        folder = env.pop("HTTP_VISIT", None)
        given |= {"env": env, "stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
        env |= {
            "IPYTHONDIR": str(self.parent.home / "ipython"),  # nobody's settings but the room's
            "OPENBLAS_NUM_THREADS": "1",  # the pages share the processor
            "MIXING_WORKBOOK_MODELS": folder or str(self.parent.visits / "nobody"),
            "JPY_SESSION_NAME": Path(env.get("SCRIPT_NAME", self.parent.evening)).name,
        }
        if not folder:
            return await super().start_kernel(**given)
        with self._seat():
            kernel = await super().start_kernel(**given)
            self._pages[kernel] = folder
        return kernel

    async def give_warmed(self, lesson: str, folder: Path) -> tuple[Any, list[str]]:
        """Give a visitor a page that has run: the task that ran it, and what it has shown so far."""
        with self._seat():
            task, shown, kernel = await self.get_rendered_notebook(notebook_name=lesson)
            self._pages[kernel] = str(folder)
        client = AsyncKernelClient()  # not the kernel manager's own, whose answers the running page waits for
        client.load_connection_info(self.get_kernel(kernel).get_connection_info())
        client.start_channels()
        try:
            own = f"__import__('os').environ['MIXING_WORKBOOK_MODELS'] = {str(folder)!r}"
            await client.execute(own, silent=True, reply=True)
        finally:
            client.stop_channels()
        return task, shown

    async def make_room(self, folder: Path) -> None:
        """Put away a visitor's oldest page if they have too many or the room is full; then what is gone."""
        mine = [kernel for kernel, whose in self.pages().items() if whose == str(folder)]
        for kernel in mine[: max(len(mine) - _PAGES_EACH + 1, int(self.taken() >= self.parent.seats))]:
            await self._put_away(kernel)
        for kernel in self.pages():
            if self.taken() >= self.parent.seats and self._dropped(kernel):
                await self._put_away(kernel)

    async def shutdown_kernel(  # type: ignore[override]
        self, kernel_id: str, now: bool = False, restart: bool = False
    ) -> None:
        """End a page's kernel; the seat is free from now on, though the kernel takes a moment to end."""
        self._pages.pop(kernel_id, None)
        await super().shutdown_kernel(kernel_id, now, restart)

    async def _put_away(self, kernel: str) -> None:
        if kernel in self.pages():  # else its page has been left while another one ended
            await self.shutdown_kernel(kernel)

    def _dropped(self, kernel: str) -> bool:
        if kernel not in self.pages():
            return False
        model = self.kernel_model(kernel)
        quiet = datetime.now(UTC) - datetime.fromisoformat(model["last_activity"])
        return not model["connections"] and quiet > _DROPPED_AFTER


class _Visited(BaseVoilaHandler):
    """A page of the room; it knows its visitor by a name that only their browser keeps."""

    @property
    def room(self) -> Room:
        return self.settings["voila"]

    def folder(self) -> Path:
        """The visitor's own folder."""
        name = self.get_cookie(_COOKIE)
        if name not in self.room.visitors:
            name = secrets.token_urlsafe(16)
            self.room.visitors.add(name)
            self.set_cookie(_COOKIE, name, httponly=True, samesite="Lax")
        folder = self.room.visits / name
        folder.mkdir(exist_ok=True)
        return folder

    def finish_page(self, name: str, **told: Any) -> None:
        """Show one of the room's own pages."""
        self.finish(self.render_template(name, room=self.room, **told))


class _Awake(KernelHandler):
    """Whether a page's kernel still works; the page asks now and then."""

    async def get(self, kernel_id: str) -> None:
        """Tell its state; one that has died is cleared away."""
        kernels: Any = self.kernel_manager
        if kernel_id in kernels and not await kernels.is_alive(kernel_id):
            await kernels.shutdown_kernel(kernel_id)
        await super().get(kernel_id)  # type: ignore[misc]


class _Welcome(_Visited):
    """The lessons, and what is the visitor's own."""

    def get(self) -> None:
        """Show it."""
        self.finish_page("welcome.html", own=sorted(path.stem for path in self.folder().glob("*.toml")))


class _TakeHome(_Visited):
    """A file that a visitor kept."""

    def get(self, name: str) -> None:
        """Send it."""
        path = self.folder() / f"{name}.toml"
        if not path.is_file():
            raise HTTPError(404)
        self.set_header("Content-Type", "application/toml")
        self.set_header("Content-Disposition", f'attachment; filename="{path.name}"')
        self.finish(path.read_bytes())


class _Door(_Visited):
    """The address in large letters, and as a picture to scan."""

    def get(self) -> None:
        """Show it."""
        taken = self.kernel_manager.taken()
        picture = segno.make(self.room.address, micro=False).svg_inline(scale=10, border=2, omitsize=True)
        self.finish_page("door.html", picture=picture, taken=taken)


class _Lesson(TornadoVoilaHandler, _Visited):
    """A lesson with a kernel of its own."""

    left = False

    def on_connection_close(self) -> None:
        """Note that nobody waits for the page any more."""
        self.left = True

    async def get_generator(self, path: str | None = None) -> AsyncIterator[str]:
        """The page in pieces: one that waits, if the visitor has nothing of their own yet; else run anew."""
        if path not in self.room.lessons:
            raise HTTPError(404)
        folder, seats = self.folder(), self.kernel_manager
        _ = self.xsrf_token  # a cookie with which the page may end its kernel
        await seats.make_room(folder)
        if seats.get_pool_size(path) and not any(folder.iterdir()):
            task, shown = await seats.give_warmed(path, folder)
            yield "".join(shown)
            pieces, rest = await task
            yield "".join(pieces[len(shown) :])
            async for piece, _ in rest:
                yield piece
            return
        self.request.headers["Visit"] = str(folder)
        async with self.room.turns:
            if not self.left:
                async for piece in super().get_generator(path):
                    yield piece

    def should_use_rendered_notebook(self, *_: Any) -> bool:
        """What is warmed has been looked for."""
        return False


class Room(Voila):
    """The server of a room.

    Parameters
    ----------
    lessons : Path
        Folder of the lessons to read; nothing is written there.
    evening : str
        File name of the lesson of the evening.
    address : tuple of (str, int)
        Of this machine on the room's network, and the port.
    seats : int
        How many pages may be open at once.
    warmed : int
        How many pages of the lesson of the evening wait for visitors.
    """

    config_file_paths: list[str] = []  # noqa: RUF012 - nobody's settings but these

    def __init__(self, lessons: Path, evening: str, address: tuple[str, int], seats: int, warmed: int):
        host, port = address
        self.evening, self.seats, self.visitors = evening, seats, set[str]()
        self.lessons = sorted(path.name for path in lessons.glob("*.ipynb"))
        self.address = f"http://{host}:{port}"
        self._folder = tempfile.TemporaryDirectory(prefix="room-", ignore_cleanup_errors=True)
        self.home = Path(self._folder.name)
        self.visits = self.home / "visits"
        self.visits.mkdir()
        self.turns = asyncio.Semaphore(os.cpu_count() or 2)  # more at once only keep each other waiting
        ours = {
            "default-src": "'self'",
            "connect-src": f"'self' ws://{host}:{port}",
            "script-src": "'self' 'unsafe-inline' 'unsafe-eval' blob: data:",
            "style-src": "'self' 'unsafe-inline'",
            "img-src": "'self' data: blob:",
            "font-src": "'self' data:",
            "frame-ancestors": "'self'",
        }
        only_ours = "; ".join(f"{what} {where}" for what, where in ours.items())
        config = Config()
        config.Voila = Config(
            ip=host,
            port=port,
            port_retries=0,
            root_dir=str(lessons),
            log_level="ERROR",
            tornado_settings={"headers": {"Content-Security-Policy": only_ours}},
        )
        config.VoilaConfiguration = Config(
            allow_template_override="NO",
            allow_theme_override="NO",
            http_header_envs=["visit"],
            strip_sources=True,
            preheat_kernel=True,
            multi_kernel_manager_class=_Seats,
        )
        config.VoilaKernelManager = Config(
            kernel_pools_config={"default": {"pool_size": 0}, evening: {"pool_size": warmed}},
            fill_delay=20.0,  # s, so that who comes at the same time is not kept waiting for it
            cull_idle_timeout=20 * 60,
            cull_interval=60,
            cull_connected=True,
        )
        config.KernelManager = Config(autorestart=False)  # one that came back would know nothing of its page
        config.TagRemovePreprocessor = Config(enabled=True, remove_cell_tags={"note"})  # the presenter's
        super().__init__(config=config)

    def setup_template_dirs(self) -> None:
        """Our pages come before those of the reading view."""
        super().setup_template_dirs()
        self.template_paths.insert(0, str(_PAGES))

    def init_settings(self) -> dict[str, Any]:
        """Packed: a first page takes 1.5 MB instead of 5, and a hotspot has to carry twenty of them."""
        settings = super().init_settings()
        settings["jinja2_env"] = settings[
            "voila_jinja2_env"
        ]  # what is not found is told in our words everywhere
        return settings | {"compress_response": True, "websocket_compression_options": {}}

    def init_handlers(self) -> list[Any]:
        """Keep what the pages of the reading view need; lists of files and kernels are closed."""
        needed = [handler for handler in super().init_handlers() if handler[1] in _NEEDED]
        view = {"voila_configuration": self.voila_configuration}
        lesson = view | {"template_paths": self.template_paths, "config": self.config}
        return [
            *needed,
            (r"/", _Welcome, view),
            (r"/door", _Door, view),
            (r"/take_home/([\w-]+)\.toml", _TakeHome, view),
            (r"/voila/render/(.*)", _Lesson, lesson),
            (r"/api/kernels/([\w-]{36})", _Awake),
            (r"/.*", Template404),
        ]

    def launch_browser(self) -> None:
        """Show the presenter the address."""
        webbrowser.open(f"{self.address}/door")

    def stop(self) -> None:
        """End all kernels; what visitors described goes with them."""
        try:
            super().stop()
        except HTTPError:  # a page was left at this very moment, and its kernel is not there to be ended
            run_sync(self.kernel_manager.shutdown_all)()
        finally:
            self._folder.cleanup()
