"""The streams of devices."""

from uuid import UUID

from prep.actions.accounts.sessions import sign_out_device
from prep.actions.streams.of_a_site import OfASite
from prep.actions.streams.stream import Change, Loaded
from prep.models import Device, PasswordGiven
from prep.record.device.commands import EnrollDevice
from prep.record.device.events import DeviceRevoked
from prep.record.refusal import Refusal


class DeviceStream(OfASite):
    """A tablet or computer of a yard. The digest of its key stands in its row alone."""

    name = "device"
    table = Device
    names = UUID("3f9c2d0e-7a51-4b86-9c1d-52e8a6f0b7d4")

    def unknown(self) -> Refusal:
        """No device has the id, or none that the person may know of."""
        return Refusal("no-such-device")

    def apply(self, loaded: Loaded, change: Change) -> None:
        """Write the device's row; with a revocation every sign-in on it ends."""
        super().apply(loaded, change)
        device, event = self.key(change.target), loaded.state
        if isinstance(change.command, EnrollDevice):
            Device.objects.create(
                pk=device,
                site_id=event.site,
                name=event.name,
                key_digest=change.command.key_digest,
                enrolled=change.context.recorded,
                enrolled_by=change.context.actor.name,
                version=loaded.version,
            )
            return
        changed = {"name": event.name, "version": loaded.version}
        if isinstance(event, DeviceRevoked):
            changed["revoked"] = change.context.recorded
            sign_out_device(device)
            PasswordGiven.objects.filter(place=str(device)).delete()
        Device.objects.filter(pk=device).update(**changed)
