"""What the solver gives: every pull, every movement, and how far each may be wrong."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import partial
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rafterstay.loads.nouns import SET, Case, Climate
from rafterstay.roof.frame import Floats

__all__ = ["Forces", "Setting", "State"]


@dataclass(frozen=True)
class State:
    """A case under one set of bounds.

    Attributes:
        case: The load.
        bound: ``bare`` (walls no help, plate jointed) or ``stated``.
        variant: What was varied within the bound, in words; empty for bare.
        weather: Temperature and dryness of timber and ropes.
        wall_stiffness: Spring at each foot, outward. [N/m]
        rope_factor: Multiplies EA of every rope. [-]
        plate_stiffness: Pull of each side of the plate by its lengthening; empty where the plate
            is jointed. [N/m]
        held_thrust: Inward force on each foot of what holds the dead load's thrust since before
            there was a tie; empty where the tie carries it. [N]
    """

    case: Case
    bound: str = "bare"
    variant: str = ""
    weather: Climate = SET
    wall_stiffness: float = 0.0
    rope_factor: float = 1.0
    plate_stiffness: tuple[float, ...] = ()
    held_thrust: tuple[float, ...] = ()

    @property
    def for_strength(self) -> bool:
        """Whether strength is read from it: the dead load is on the tie, no bedding-in eases it."""
        return self.weather.answers == "strength" and not self.held_thrust

    @property
    def climate(self) -> str:
        """Name of the weather: ``set``, ``cold``, ``warm`` or ``dry``."""
        return self.weather.name

    @property
    def id(self) -> str:
        """The combination id of the contract."""
        said = self.case.id
        if self.bound != "bare":
            said += f"/{self.bound}"
        if self.climate != "set":
            said += f"/{self.climate}"
        return said


@dataclass(frozen=True)
class Setting:
    """The state in which the legs are tensioned, and after the prop is lowered.

    Attributes:
        leg_pull: As set: with the prop in place, or on a roof that stands as it is. [N] (n_legs,)
        lowered_pull: With the prop lowered; of a roof that stands, once nothing but the tie
            holds the dead load. [N] (n_legs,)
        prop_force: Push of the prop on the hub before it is lowered; nil without one. [N]
        ring_centre: [m] (3,)
        leg_length: Unstretched length of each leg's rope, both pieces. [m] (n_legs,)
        ring_length: Unstretched length of each ring side. [m] (n_legs,)
        spread: Outward movement of each foot from the drawing. [m] (n_legs,)
    """

    leg_pull: Floats
    lowered_pull: Floats
    prop_force: float
    ring_centre: Floats
    leg_length: Floats
    ring_length: Floats
    spread: Floats


@dataclass(frozen=True)
class Forces:
    """All states solved. Rows are states; spread and shift count from the setting state.

    Attributes:
        states: (n_states)
        setting: Of the bare bound.
        leg_pull: Second order: on the displaced frame. [N] (n_states, n_legs)
        first_order: On the frame as drawn. [N] (n_states, n_legs)
        amplification: Largest second over first order pull. [-] (n_states,)
        ring_pull: Side k joins eyes k and k + 1. [N] (n_states, n_legs)
        slack: Legs whose ends are closer than their length. (n_states, n_legs)
        pull_direction: Unit vector of the pull on each bolt, bolt to ring. (n_states, n_legs, 3)
        eye_turn: Angle the ring rope turns at each eye. [rad] (n_states, n_legs)
        head_push: Radial horizontal push of hub on head, + compression. [N] (n_states, n_legs)
        head_shear: Vertical and sideways resultant between head and hub. [N] (n_states, n_legs)
        head_moment: Moment between head and hub in the hip's upright plane; nil where heads are
            pinned. [N m] (n_states, n_legs)
        foot_reaction: Upward reaction of each foot, - is hold-down. [N] (n_states, n_legs)
        hip_at: Stations along every hip, fraction of its length from the foot; the bolt's stands
            twice, before and after the pull. (n_stations,)
        hip_axial: Compression in the hip. [N] (n_states, n_legs, n_stations)
        hip_shear: In the hip's upright plane, + lifts the part towards the head. [N]
            (n_states, n_legs, n_stations)
        hip_moment: In the upright plane, + where the top is pressed. [N m]
            (n_states, n_legs, n_stations)
        hip_sideways: Largest moment sideways; nil under a deck. [N m] (n_states, n_legs)
        spread: Outward movement of each foot. [m] (n_states, n_legs)
        hub_drop: Downward movement of the hub. [m] (n_states,)
        ring_shift: Of the ring's centre on plan, x east, y north; NaN where slack. (n_states, 2)
        ring_sag: Ring's centre below the mean of the bolts, where both are now; NaN where slack.
            [m] (n_states,)
        force_error: Proved bound on the error of every leg pull, first order solve; of a ring
            that turns only the check of its last step. [N] (n_states,)
        residual: Largest out-of-balance force or moment left. [N, N m] (n_states,)
        plate_pull: In each side of a continuous plate, side k from foot k to foot k + 1, below 0
            where it is pressed; nil where the plate is jointed. [N] (n_states, n)
        left_out: Ids of states that uplift would carry off without the help stated: they are run
            in the bound ``stated`` alone.
        side_length: Distance between neighbouring eyes of a rope ring, side k from eye k to
            k + 1. [m] (n_states, n); no columns without one
        ring_load: Pull of every leg on a welded ring or plate: outward, clockwise along the ring
            as it lies, and up across it. [N] (n_states, n, 3); no rows of legs without one
    """

    states: tuple[State, ...]
    setting: Setting
    leg_pull: Floats
    first_order: Floats
    amplification: Floats
    ring_pull: Floats
    slack: NDArray[np.bool_]
    pull_direction: Floats
    eye_turn: Floats
    head_push: Floats
    head_shear: Floats
    head_moment: Floats
    foot_reaction: Floats
    hip_at: Floats
    hip_axial: Floats
    hip_shear: Floats
    hip_moment: Floats
    hip_sideways: Floats
    spread: Floats
    hub_drop: Floats
    ring_shift: Floats
    ring_sag: Floats
    force_error: Floats
    residual: Floats
    plate_pull: Floats = field(default_factory=partial(np.zeros, (0, 0)))
    left_out: tuple[str, ...] = ()
    side_length: Floats = field(default_factory=partial(np.zeros, (0, 0)))
    ring_load: Floats = field(default_factory=partial(np.zeros, (0, 0, 3)))

    def for_strength(self) -> Forces:
        """The states strength is read from, without those for least pulls and spread only."""
        return self._only(np.array([state.for_strength for state in self.states]))

    def for_spread(self) -> Forces:
        """The states the feet's movement is read from.

        Of a roof that stood before its tie the dead load spreads nothing where walls or plate go
        on holding it.
        """
        stood = any(state.held_thrust for state in self.states)
        rows = [
            state.weather.answers == "strength"
            and not (stood and state.bound == "stated" and not state.held_thrust)
            for state in self.states
        ]
        return self._only(np.array(rows))

    def _only(self, rows: NDArray[np.bool_]) -> Forces:
        if rows.all():
            return self
        kept: dict[str, Any] = {
            name: value[rows]
            for name, value in vars(self).items()
            if isinstance(value, np.ndarray) and name != "hip_at" and len(value) == len(rows)
        }
        states = tuple(state for state, keep in zip(self.states, rows, strict=True) if keep)
        return replace(self, states=states, **kept)
