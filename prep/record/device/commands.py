"""Commands on the devices of a yard: enroll one, rename it, revoke it."""

from collections.abc import Sequence
from typing import Annotated, ClassVar

from prep.record.command import Command, Facts, Permission
from prep.record.device.events import DeviceEnrolled, DeviceRenamed, DeviceRevoked
from prep.record.fields import FILLED, Meta, Privacy, Reason, SiteCode
from prep.record.needs import DEVICE_KEY
from prep.record.refusal import Refusal
from prep.record.roles import OFFICE, Context

State = DeviceEnrolled | DeviceRenamed | DeviceRevoked | None

DeviceName = Annotated[str, Meta(max_length=60, pattern=FILLED, examples=["Tablet 2"])]
KeyDigest = Annotated[
    str,
    Meta(
        pattern="^[0-9a-f]{64}$",
        description="SHA-256, in hex, of the key that the device keeps: 32 random bytes or more, "
        "as the text it sends.",
        examples=["5e884898da28047151d0e56f8dc6292773603d0d6aabbdd62a11ef721d1542d8"],
        extra={"privacy": Privacy.SECRET},
    ),
]


class EnrollDevice(Command, frozen=True, kw_only=True, tag="device.enroll"):
    """Make a tablet or computer one of the yard's.

    People who gave their password on it may then switch to themselves by PIN. The device keeps a
    key and sends it; the service keeps the digest only.
    """

    stream: ClassVar[str] = "device"
    permission: ClassVar = Permission(OFFICE)
    creates: ClassVar = True
    needs: ClassVar = (DEVICE_KEY,)

    site: SiteCode
    name: DeviceName
    key_digest: KeyDigest

    def decide(self, state: State, context: Context, facts: Facts) -> Sequence[DeviceEnrolled]:
        """It is the yard's from now on."""
        return [DeviceEnrolled(self.site, _spelled(self.name), facts[DEVICE_KEY])]


class RenameDevice(Command, frozen=True, kw_only=True, tag="device.rename"):
    """Give a device another name."""

    stream: ClassVar[str] = "device"
    permission: ClassVar = Permission(OFFICE)

    name: DeviceName

    @classmethod
    def guard(cls, state: State, context: Context) -> None:
        """It is still the yard's."""
        _check_enrolled(state)

    def decide(self, state: State, context: Context, facts: Facts) -> Sequence[DeviceRenamed]:
        """It has the name from now on."""
        known = _check_enrolled(state)
        return [DeviceRenamed(known.site, _spelled(self.name), known.key)]


class RevokeDevice(Command, frozen=True, kw_only=True, tag="device.revoke"):
    """Take a device out of use: lost, stolen, replaced.

    Every sign-in on it ends at once, and nobody switches user on it by PIN. Entries that wait on it
    stay there; enrolled again, it sends them.
    """

    stream: ClassVar[str] = "device"
    permission: ClassVar = Permission(OFFICE)

    reason: Reason

    @classmethod
    def guard(cls, state: State, context: Context) -> None:
        """It was not revoked before."""
        _check_enrolled(state)

    def decide(self, state: State, context: Context, facts: Facts) -> Sequence[DeviceRevoked]:
        """It is no longer the yard's."""
        known = _check_enrolled(state)
        return [DeviceRevoked(known.site, known.name, known.key, self.reason)]


def _check_enrolled(state: State) -> DeviceEnrolled | DeviceRenamed:
    if state is None:
        raise Refusal("no-such-device")
    if isinstance(state, DeviceRevoked):
        raise Refusal("device-revoked", name=state.name)
    return state


def _spelled(name: str) -> str:
    """A name without needless spaces."""
    return " ".join(name.split())
