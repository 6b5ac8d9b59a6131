"""What is lost in a world: storage that vanishes or has holes, older copies that come back.

Each mishap forgets what by it nobody holds any more. All else must come through.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy.exc import DBAPIError

from tests.world import look
from tests.world.disk import Disk

if TYPE_CHECKING:
    from tests.world.world import Handset, World


class Mishaps:
    """The mishaps of one world. `count` grows with everything that sets the server back."""

    def __init__(self, world: World, folder: Path) -> None:
        self._world = world
        self._backup = folder / "backup"
        self._copy = folder / "copy"
        self.count = 0

    def happen(self, handset: Handset) -> None:
        """One of them, to this phone or to the server."""
        chance = self._world.chance
        before = look.held_anywhere(self._world)
        chance.choice(
            [
                lambda: self._storage_vanishes(handset),
                lambda: self._storage_has_a_hole(handset),
                lambda: self._phone_is_saved(handset),
                lambda: self._phone_is_set_back(handset),
                lambda: self._both_are_set_back(handset),
                lambda: self._both_are_set_back(handset),
                lambda: self._phone_is_copied(handset),
                self._server_is_backed_up,
                self._server_is_restored,
                self._folder_is_copied,
                self._folder_is_copied_back,
                self._a_bit_turns_over,
            ]
        )()
        lost = before.keys() - look.held_anywhere(self._world).keys()
        if lost:
            self._world.promise.still_held(self._world)

    def _storage_vanishes(self, handset: Handset) -> None:
        world = self._world
        world.restart_phone(handset, Disk(world.new_key()))
        handset.saved = None
        try:
            world.pair(handset)
        except (DBAPIError, OSError):
            return

    def _storage_has_a_hole(self, handset: Handset) -> None:
        """Part of a chain is gone; the phone finds out when it is started next."""
        chance, disk = self._world.chance, handset.phone.disk
        device = chance.choice(sorted(disk.events) or [""])
        count = len(disk.events.get(device, []))
        if count < 2:
            return
        first = chance.randrange(1, count)
        last = min(count, first + chance.randrange(0, 4))
        self._world.restart_phone(handset)
        handset.phone.find_hole(device, first, last)

    def _phone_is_saved(self, handset: Handset) -> None:
        handset.saved = handset.phone.disk.copy()

    def _phone_is_set_back(self, handset: Handset) -> None:
        if handset.saved is None:
            self._phone_is_saved(handset)
        else:
            self._world.restart_phone(handset, handset.saved.copy())

    def _both_are_set_back(self, handset: Handset) -> None:
        """So that the phone lives again what others have seen of it, and the server has not."""
        self._phone_is_set_back(handset)
        self._world.chance.choice((self._server_is_restored, self._folder_is_copied_back))()

    def _phone_is_copied(self, handset: Handset) -> None:
        """Two live with the same key; each may believe that it is the only one."""
        world = self._world
        if len(world.handsets) < 5:
            twin = world.handset_on(handset.phone.disk.copy())
            twin.cookie = handset.cookie
            twin.skew_ms = handset.skew_ms
            twin.greatest_known_ms = handset.greatest_known_ms
            world.handsets.append(twin)

    def _server_is_backed_up(self) -> None:
        if not self._world.server.faults.full:
            self._world.server.back_up(self._backup)

    def _server_is_restored(self) -> None:
        if not self._backup.exists():
            self._server_is_backed_up()
            return
        self._world.server.restore(self._backup, keep_keys=self._world.chance.random() < 0.7)
        self.count += 1

    def _folder_is_copied(self) -> None:
        self._world.server.copy_folder(self._copy)

    def _folder_is_copied_back(self) -> None:
        if not self._copy.exists():
            self._folder_is_copied()
            return
        self._world.server.copy_back(self._copy, with_notes=self._world.chance.random() < 0.4)
        self.count += 1

    def _a_bit_turns_over(self) -> None:
        try:
            self._world.server.flip_a_bit(self._world.chance)
        except (DBAPIError, OSError):
            return  # the disk is full, or the commit died
        self.count += 1
