"""Titles of the rules, as the calculators list them."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.words.reader import Reader, say

TITLES: Final[dict[str, str]] = {
    "battery.charge_by_gravity": _(
        "State of charge of a 12 V flooded battery by the gravity of its acid"
    ),
    "battery.charge_by_voltage": _(
        "State of charge of a rested 12 V flooded battery by its voltage"
    ),
    "blades.cut_width": _("Cutting width of a row of spindles"),
    "blades.hand": _("Rotation of a blade spindle, and whether the blade's cutting edge leads"),
    "blades.largest_tip_circle": _("Largest tip circle diameter for a tip speed"),
    "blades.overlap": _("Overlap of the cutting circles of neighboring blades"),
    "blades.pair_weights": _("Weight match of the two blades of one carrier"),
    "blades.spindle_speed": _("Rotational speed of a blade spindle behind its gearboxes"),
    "blades.tip_speed": _("Blade tip speed"),
    "blades.tip_speed_advisory": _(
        "Blade tip speed compared with the published limit for turf mowers"
    ),
    "blades.torque_pair": _("Torque of a blade bolt and its carrier nut against their ranges"),
    "blades.unbalanced_force": _("Rotating unbalance force of an unmatched blade pair"),
    "cleanliness.code_from_counts": _("ISO 4406 code of a particle count"),
    "cleanliness.compare": _("A measured ISO 4406 code against the dirtiest one allowed"),
    "cleanliness.counts_from_code": _("Particle counts an ISO 4406 code stands for"),
    "correcting.angle": _("What to do about an angle outside its limit"),
    "correcting.count": _("What to do about a number of things outside its limit"),
    "correcting.length": _("What to do about a length outside its limit"),
    "correcting.mass": _("What to do about a mass outside its limit"),
    "correcting.pressure": _("What to do about a pressure outside its limit"),
    "correcting.rotation": _("What to do about a speed of rotation outside its limit"),
    "correcting.torque": _("What to do about a torque outside its limit"),
    "correcting.volume": _("What to do about a filled volume outside its limit"),
    "cutting_height.advisory": _(
        "Cutting height compared with the usual minimum for a rotary cutter"
    ),
    "cutting_height.choose_stops": _("Stop segments for a wanted cutting height"),
    "cutting_height.from_stops": _("Cutting height with given segments on the rod"),
    "cutting_height.reachable": _("All cutting heights a set of stop segments can give"),
    "decision.acceptance": _("Acceptance interval of an instrument, or that it cannot decide"),
    "decision.accuracy_needed": _(
        "Coarsest accuracy class, in percent of reading, that gives a wanted uncertainty"
    ),
    "decision.capability": _(
        "Measurement capability index: how often the uncertainty fits into the tolerance"
    ),
    "decision.guard_factor": _(
        "Guard factor that keeps the risk of a wrong acceptance at one limit"
    ),
    "decision.guard_risk": _(
        "Risk of a wrong acceptance left on the acceptance limit by a guard factor"
    ),
    "decision.probability": _("Probability that what was measured conforms"),
    "decision.uncertainty_for_capability": _(
        "Largest expanded uncertainty that still gives a wanted capability"
    ),
    "decision.uncertainty_for_risk": _(
        "Largest expanded uncertainty with which the expected reading can be accepted"
    ),
    "driveline.end_clearance": _(
        "End clearance of a telescoping driveline before the longer half bottoms"
    ),
    "driveline.extremes": _(
        "Extremes of driveline length, joint angle and non-uniformity over the machine's reach"
    ),
    "driveline.half_lengths": _("Length of equal halves to order for a tractor and machine"),
    "driveline.length_advice": _("Advice on the driveline's length"),
    "driveline.length_change": _(
        "Equal change in length of both halves that makes the driveline fit"
    ),
    "driveline.overlap": _("Overlap of the halves of a telescoping driveline"),
    "driveline.verdict": _("Verdict on the driveline against the manufacturer's limits"),
    "fasteners.clamp_load": _("Clamp load to tighten a bolt to"),
    "fasteners.nut_match": _("Whether a nut is as strong as its bolt"),
    "fasteners.nut_proof": _("Proof load of a nut"),
    "fasteners.strength": _("Proof, yield and tensile strength of a bolt"),
    "fasteners.structural_pretension": _("Minimum pretension of a structural bolt"),
    "fasteners.turn_of_nut": _("Turn-of-nut rotation from snug tight for a structural bolt"),
    "fittings.flare_torque": _("Torque of a 37° flare nut"),
    "fittings.flare_turn": _("Turn of a 37° flare nut from finger tight"),
    "fittings.flats_turned": _("Hexagon flats for an angle of turn"),
    "friction.assembly": _("Assembly preload and torque of a bolt at 90 % of its yield strength"),
    "friction.assembly_preload": _("Assembly preload of a bolt at a share of its yield strength"),
    "friction.textbook_torque": _(
        "Torque for a clamp load by friction, textbook form with a collar of 1.25 diameters"
    ),
    "friction.torque": _("Torque for a clamp load by friction in thread and under the head"),
    "gear_oil.ambient": _("Gear oil winter grade compared with the coldest ambient temperature"),
    "gear_oil.grade": _("SAE grade of a gear oil"),
    "gear_oil.plug_level": _("Gear oil level by the side plug"),
    "gear_oil.printed_pair": _("Agreement of a capacity printed in two units"),
    "gear_oil.stick_level": _("Gear oil level by the dipstick"),
    "gear_oil.thermal_rise": _("Thermal expansion of oil"),
    "grease.consistency": _("NLGI number of a grease from its penetration"),
    "grease.stroke_mass": _("Grease delivered per gun stroke, by weighing"),
    "grease.stroke_mass_from_volume": _("Grease delivered per gun stroke, from the printed volume"),
    "grease.strokes": _("Grease gun strokes for each grease point"),
    "hitch.clevis_clearance_window": _(
        "Clearance of hitch pin and clevis below the PTO's center line"
    ),
    "hitch.distance_advice": _("Advice on a drawbar outside its distance"),
    "hitch.distance_window": _("Drawbar distances that agree with the published one"),
    "hitch.drawbar_categories": _("Drawbar categories for a tractor's power"),
    "hitch.drawbar_distance": _("Distance from the end of the PTO shaft to the hitch pin hole"),
    "hitch.drawbar_height_window": _("Height of the top of the drawbar above ground"),
    "hitch.pto_height_window": _("Height of the PTO's center line above the top of the drawbar"),
    "hitch.vertical_load_limit": _("Maximum static vertical load on the drawbar"),
    "hydraulics.charge_check": _(
        "Oil charge check: oil drawn from the tractor compared with the circuit's volume"
    ),
    "hydraulics.compression": _("Oil volume taken up by compression"),
    "hydraulics.cylinder_volume": _("Oil volume of a hydraulic cylinder"),
    "hydraulics.drift": _("Drift of a held load from an oil leak"),
    "hydraulics.force": _("Force of a hydraulic cylinder"),
    "hydraulics.hose_bore": _("Inside diameter of a hose from its dash number"),
    "hydraulics.hose_volume": _("Oil volume of a hose"),
    "hydraulics.leak_from_drop": _("Leakage rate from the drift of a held load"),
    "hydraulics.motion_order": _("Which cylinder of a one-hose lift-then-fold circuit moves first"),
    "hydraulics.next_bore": _("Bore of the next cylinder in a re-phasing set"),
    "hydraulics.pressure_for_force": _("Pressure a cylinder needs for a force"),
    "hydraulics.pressure_to_lift": _("Cylinder pressure to lift a load through a lever"),
    "hydraulics.series_set": _("Pressures and travels of cylinders in series, extending"),
    "hydraulics.set_charge": _("Oil a set of cylinders draws from the tractor to fill and extend"),
    "hydraulics.speed": _("Speed of a cylinder rod"),
    "hydraulics.trapped_pressure": _("Pressure rise of trapped oil when it warms"),
    "identity.checked_number": _("Check characters of a number by ISO/IEC 7064"),
    "identity.in_range": _("Whether a serial number lies in a printed range"),
    "identity.look_alike": _("Whether two serial numbers differ only in look-alike characters"),
    "identity.vehicle_number": _("Check digit of a 17-character vehicle number"),
    "joints.advisory_limit": _("General joint angle limit, where the manufacturer's is not known"),
    "joints.angle_for_non_uniformity": _("Joint angle for a stated non-uniformity"),
    "joints.compound_angle": _(
        "True (compound) joint angle from the angles in side view and in plan"
    ),
    "joints.lead": _("Maximum lead or lag angle of a universal joint"),
    "joints.pair": _("Non-uniformity of two universal joints in series"),
    "joints.peak_acceleration": _("Peak angular acceleration behind a universal joint"),
    "joints.ratio_extremes": _("Minimum and maximum speed ratio of a universal joint"),
    "joints.speed_ratio": _("Instantaneous speed ratio of a universal joint"),
    "joints.turned_angle": _("Rotation of the driven yoke of a universal joint"),
    "joints.wide_angle_offset": _(
        "Joint angles where the center of a wide-angle joint is off the hitch pivot"
    ),
    "leveling.pitch": _("Pitch of a deck: how much lower the front blade tip runs"),
    "leveling.rod_travel": _("Change in length of a leveling rod"),
    "leveling.rod_turns": _("Turns of a leveling rod for a change of height"),
    "leveling.slope_from_angle": _("Slope from an angle gauge"),
    "leveling.slope_from_bubble": _("Slope from a bubble vial"),
    "leveling.slope_from_heights": _("Slope from two heights over a base"),
    "leveling.wing": _("Height of a wing's blade tip compared with the center's"),
    "pto.clutch_advised": _("Whether a slip clutch is strongly advised for a PTO shaft and power"),
    "pto.match": _("Match of the machine to the tractor's PTO"),
    "pto.minimum_power": _("Minimum tractor PTO power for the machine"),
    "pto.overspeed_limit": _("Maximum PTO speed"),
    "pto.power": _("Power from torque and speed"),
    "pto.power_range": _("Tractor PTO power for a brush-type rotary cutter, by rule of thumb"),
    "pto.pull_in_speed": _(
        "Speed at which a turning shaft pulls in clothing; for the caution beside the step"
    ),
    "pto.rotation": _("Direction of rotation of the tractor's PTO"),
    "pto.shaft": _("Standard PTO shaft by type"),
    "pto.speed_window": _("Tolerance of the rated PTO speed"),
    "pto.torque": _("Torque from power and speed"),
    "road_marking.emblem_place": _("Mounting height of the slow-moving-vehicle emblem"),
    "road_marking.emblem_square": _(
        "Alignment of the slow-moving-vehicle emblem with the direction of travel"
    ),
    "road_marking.flash_rate": _("Flash rate of the warning lamps"),
    "road_marking.lamp_place": _("Mounting height of a warning lamp"),
    "road_marking.marking": _(
        "Road marking required on a towed machine: emblem, speed sign, lamps and strips"
    ),
    "threads.dimensions": _("Dimensions of a thread by its designation"),
    "threads.stress_area_high_strength": _(
        "Tensile stress area of an inch thread in steel stronger than 180 000 psi"
    ),
    "threads.stress_area_inch": _("Tensile stress area of an inch thread"),
    "threads.stress_area_metric": _("Tensile stress area of a metric thread"),
    "tightening.cross_pattern": _("Cross (star) tightening order of a bolt circle"),
    "tightening.stages": _("Torque of each stage of tightening"),
    "tightening.with_prevailing_torque": _("Torque for a locknut with its prevailing torque added"),
    "torque.by_nut_factor": _("Torque for a bolt by thread, grade and nut factor"),
    "torque.clamp_range": _("Clamp load from a torque, with its scatter"),
    "torque.from_clamp_load": _("Torque for a clamp load by nut factor"),
    "torque.nut_factor": _("Nut factor by the condition of the threads"),
    "torque.past_yield": _("Whether a torque has yielded the bolt"),
    "torque.table": _("Torque table of a thread series in one grade"),
    "torque.yield_torque": _("Torque at which a bolt reaches its yield strength"),
    "torque_tools.choice": _("Choice of a torque wrench by its usable range"),
    "torque_tools.deviation": _("Permissible deviation of a torque wrench by its class"),
    "torque_tools.setting": _("Torque wrench setting with an offset adapter"),
    "torque_tools.true_torque": _("Torque at the nut from a wrench with an offset adapter"),
    "torque_tools.usable_scale": _("Usable range of a torque wrench's scale"),
    "towing.chain_size": _("Smallest safety chain size for the machine towed"),
    "towing.greatest_mass": _("Maximum mass of a towed machine"),
    "towing.greatest_speed": _("Maximum towing speed for a tractor and the machine it tows"),
    "towing.safety_chain": _("Whether a safety chain is strong enough for the machine towed"),
    "towing.transport_width": _("Transport width compared with the limit of a jurisdiction"),
    "tractor_weight.axle_loads": _("Tractor's axle loads with the machine attached"),
    "tractor_weight.front_ballast_advice": _(
        "Front ballast for a wanted share of the weight on the front axle"
    ),
    "tractor_weight.least_front_mass": _("Least mass on the front axle for its share of both"),
    "tractor_weight.minimum_mass": _("Minimum mass of the ballasted tractor that tows the machine"),
    "uncertainty.certificate": _("Standard uncertainty from a calibration certificate"),
    "uncertainty.combined": _("Combined standard uncertainty of independent components"),
    "uncertainty.degrees_of_freedom": _(
        "Effective degrees of freedom of a combined uncertainty, truncated to an integer"
    ),
    "uncertainty.expanded": _("Expanded uncertainty"),
    "uncertainty.instrument": _("Expanded uncertainty (k = 2) of one reading of an instrument"),
    "uncertainty.rectangular": _("Standard uncertainty of a rectangular distribution within ±a"),
    "uncertainty.resolution": _("Standard uncertainty from the resolution of a display"),
    "uncertainty.triangular": _("Standard uncertainty of a triangular distribution within ±a"),
    "uncertainty.u_shaped": _(
        "Standard uncertainty of a U-shaped (arcsine) distribution between -a and +a"
    ),
    "viscosity.at_temperature": _("Viscosity of an oil at another temperature"),
    "viscosity.index": _("Viscosity index of an oil"),
    "viscosity.iso_grade": _("ISO viscosity grade of an industrial oil"),
    "viscosity.line": _("Viscosity-temperature line of an oil from two viscosities"),
    "wheels.cold_pressure": _("Gauge pressure of a tire at another temperature"),
    "wheels.load_at_pressure": _("Tire load at a cold pressure, by the tire's own table"),
    "wheels.nut_stages": _("Wheel nut torque in three stages, by a general chart"),
    "wheels.pressure_for_load": _("Cold tire pressure for a load, by the tire's own table"),
    "wheels.recheck_by_distance": _("Wheel nut recheck by distance traveled"),
    "wheels.recheck_by_hours": _("Wheel nut recheck by operating hours"),
    "wheels.seating_stop": _("Whether to stop inflating a tire whose beads have not seated"),
}


def title(rule: str, reader: Reader) -> str:
    """The title of a rule."""
    return say(reader, TITLES[rule])
