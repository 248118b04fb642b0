"""What a service refuses; each is one plain sentence for a person."""

from maintenance.engine.errors import EngineError


class ServiceError(EngineError):
    """A request that cannot be carried out as it stands."""


class NotFoundError(ServiceError):
    """Nothing of that name is kept in this account, whoever else may keep one."""


class ConflictError(ServiceError):
    """Someone else changed the same thing since it was read."""
