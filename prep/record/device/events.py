"""Events of a device. Each says all there is to say of it, but for when it was heard of."""

from prep.record.log.reference_event import ReferenceEvent


class DeviceEnrolled(ReferenceEvent, frozen=True, tag="device.enrolled"):
    """A device was made one of the yard's.

    `key` is a keyed fingerprint of the digest of the device's key: whoever puts a digest of their
    own into the table cannot make it.
    """

    site: str
    name: str
    key: str


class DeviceRenamed(ReferenceEvent, frozen=True, tag="device.renamed"):
    """A device was given another name."""

    site: str
    name: str
    key: str


class DeviceRevoked(ReferenceEvent, frozen=True, tag="device.revoked"):
    """A device is no longer the yard's. Every sign-in on it ended."""

    site: str
    name: str
    key: str
    reason: str
