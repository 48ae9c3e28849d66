"""What our functions say to the questions of checks.csv, asked in the units that the sources use."""

from collections.abc import Callable, Mapping
from typing import Any

from planning.job.place import Air
from planning.quantities import (
    bags,
    crew,
    evaporation,
    film,
    flood,
    lifting,
    maturity,
    mortar,
    outline,
    pour,
    psychro,
    sheets,
    sight,
    slope,
    tile,
)
from planning.quantities.si import (
    CUFT_M3,
    FALL_PER_INCH_IN_FOOT,
    FLUID_OUNCE_M3,
    FOOT_M,
    GALLON_M3,
    INCH_M,
    MIL_M,
    PCF_KG_M3,
    POUND_KG,
    PSF_KG_M2,
    SQFT_M2,
    celsius,
    fahrenheit,
)
from planning.trade.air import drying_ratio, multiplier

Given = Any


def pan(given: Given) -> slope.Pan:
    floor = outline.rectangle(given["length_ft"] * FOOT_M, given["width_ft"] * FOOT_M)
    drain = (given["drain_ft"][0] * FOOT_M, given["drain_ft"][1] * FOOT_M)
    return slope.point_pan(floor, drain, given["at_drain_in"] * INCH_M, per_ft(given))


def per_ft(given: Given) -> float:
    return float(given["slope_in_per_ft"]) * FALL_PER_INCH_IN_FOOT


def one_plane(given: Given) -> slope.Pan:
    floor = outline.rectangle(given.get("width_ft", 1) * FOOT_M, given["run_ft"] * FOOT_M)
    return slope.wall_drain_pan(floor, 0, given["at_drain_in"] * INCH_M, per_ft(given))


def two_planes(given: Given) -> float:
    near, far = (run * FOOT_M for run in given["runs_ft"])
    floor = outline.rectangle(given["width_ft"] * FOOT_M, near + far)
    return slope.linear_pan(floor, (0, near), (1, 0), given["at_drain_in"] * INCH_M, per_ft(given)).volume_m3 / CUFT_M3


def notch(given: Given) -> mortar.Notch:
    width = given["width_in"] * INCH_M
    return mortar.Notch(width, given["depth_in"] * INCH_M, given.get("space_in", given["width_in"]) * INCH_M)


def grid(given: Given) -> pour.Pour:
    side = (given["cell_sqft"] * SQFT_M2) ** 0.5
    return pour.grid_pour([[depth * INCH_M for depth in row] for row in given["depths_in"]], (side, side))


def lift(given: Given) -> lifting.Lift:
    out, height, travel = (given[key] * INCH_M for key in ("out_in", "height_in", "travel_in"))
    return lifting.Lift(out, height, travel, grip=given["grip"])


def membrane_gallons(given: Given) -> float:
    painted = film.wet_coats(given["area_sqft"] * SQFT_M2, given["wet_mil"] * MIL_M, given["coats"], given["waste"])
    return painted.volume_m3 / GALLON_M3


def gallon_sqft(wet_m: float) -> float:
    return film.film_reach_m2(GALLON_M3, wet_m) / SQFT_M2


def front(given: Given) -> float:
    depth, width = given["depth_in"] * INCH_M, given["width_ft"] * FOOT_M
    return (
        crew.front_m_per_min(given["mixers"], given["yield_cuft"] * CUFT_M3, depth, width, given["cycle_min"]) / FOOT_M
    )


def grout_imperial(given: Given) -> float:
    length, width, depth = (side * INCH_M for side in given["tile_in"])
    return (
        mortar.grout_kg_m2(length, width, depth, given["joint_in"] * INCH_M, given["density_pcf"] * PCF_KG_M3)
        / PSF_KG_M2
    )


def grout_metric(given: Given) -> float:
    length, width, depth = (side / 1000 for side in given["tile_mm"])
    return mortar.grout_kg_m2(length, width, depth, given["joint_mm"] / 1000, given["density"])


def menzel(given: Given) -> float:
    warm, air = celsius(given["surface_f"]), celsius(given["air_f"])
    wind = given["wind_mph"] * evaporation.MILE_KM
    return evaporation.evaporation_menzel(warm, air, given["humidity"], wind) / evaporation.LB_FT2_KG_M2


def cement_times(given: Given) -> float:
    warm = celsius(given["material_f"])
    return float(multiplier("maturity", Air(warm, 0.5, warm)) or 0.0)


def bag_reach(given: Given) -> float:
    return mortar.reach_m2(given["yield_cuft"] * CUFT_M3, mortar.bed_m(notch(given))) / SQFT_M2


def sheet(given: Given) -> tuple[float, float]:
    return given["sheet_in"][0] * INCH_M, given["sheet_in"][1] * INCH_M


AIR: Mapping[str, Callable[[Given], float]] = {
    "age_factor": lambda g: maturity.age_factor(g["material_c"], g["label_c"]),
    "eurocode_factor": lambda g: maturity.eurocode_factor(g["material_c"]),
    "degree_hours": lambda g: maturity.temperature_time_c_h(g["history"], g["datum_c"]),
    "equivalent_age": lambda g: maturity.equivalent_age_h(g["history"], g["label_c"]),
    "cement_times": cement_times,
    "saturation_pa": lambda g: psychro.saturation_pa(g["air_c"]),
    "vapor_deficit_pa": lambda g: psychro.vapor_deficit_pa(g["air_c"], g["humidity"], g["surface_c"]),
    "drying_ratio": lambda g: drying_ratio(Air(g["air_c"], g["humidity"], g["surface_c"])),
    "dew_point_c": lambda g: psychro.dew_point_c(g["air_c"], g["humidity"]),
    "dew_point_f": lambda g: fahrenheit(psychro.dew_point_c(celsius(g["air_f"]), g["humidity"])),
    "evaporation_us": lambda g: evaporation.evaporation_us(g["surface_f"], g["air_f"], g["humidity"], g["wind_mph"]),
    "evaporation_si": lambda g: evaporation.evaporation_si(g["surface_c"], g["air_c"], g["humidity"], g["wind_kmh"]),
    "menzel_lb": menzel,
}

FLOORS: Mapping[str, Callable[[Given], float]] = {
    "pan_volume": lambda g: pan(g).volume_m3 / CUFT_M3,
    "pan_rise": lambda g: pan(g).rise_m / INCH_M,
    "pan_steepest": lambda g: pan(g).steepest / FALL_PER_INCH_IN_FOOT,
    "rise_in": lambda g: g["run_in"] * per_ft(g),
    "linear_volume": lambda g: one_plane(g).volume_m3 / CUFT_M3,
    "two_plane_volume": two_planes,
    "even_bed_cuft": lambda g: slope.even_bed_m3(g["area_sqft"] * SQFT_M2, g["thickness_in"] * INCH_M) / CUFT_M3,
    "recess_in": lambda g: slope.recess_needed_m(one_plane(g), 0.01, 0.01) / INCH_M,
    "grid_volume": lambda g: grid(g).volume_m3 / CUFT_M3,
    "load_psf": lambda g: pour.load_kg_m2(g["thickness_in"] * INCH_M, g["density_pcf"] * PCF_KG_M3) / PSF_KG_M2,
    "flood_lb": lambda g: flood.water_kg(g["area_sqft"] * SQFT_M2, g["depth_in"] * INCH_M) / POUND_KG,
    "flood_drop_in": lambda g: flood.drop_m(g["rate_lb_sqft_h"] * PSF_KG_M2, g["hours"]) / INCH_M,
    "deflection_in": lambda g: tile.most_deflection_m(g["span_ft"] * FOOT_M, g["stone"]) / INCH_M,
}

AMOUNTS: Mapping[str, Callable[[Given], float]] = {
    "bags": lambda g: bags.packages(g["volume_cuft"], g["yield_cuft"], g["waste"]).use,
    "yield_cuft": lambda g: (
        bags.yield_m3(g["powder_lb"] * POUND_KG, g["water_lb"] * POUND_KG, g["density_pcf"] * PCF_KG_M3) / CUFT_M3
    ),
    "bed_in": lambda g: mortar.bed_m(notch(g), g["stands"]) / INCH_M,
    "bag_reach_sqft": bag_reach,
    "thinnest_reach_sqft": lambda g: mortar.farthest_reach_m2(g["yield_cuft"] * CUFT_M3) / SQFT_M2,
    "grout_kg_m2": grout_metric,
    "grout_psf": grout_imperial,
    "film_sqft_per_gallon": lambda g: gallon_sqft(g["wet_mil"] * MIL_M),
    "film_dry_sqft_per_gallon": lambda g: gallon_sqft(film.wet_from_dry_m(g["dry_mil"] * MIL_M, g["solids"])),
    "membrane_gal": membrane_gallons,
    "bead_ft": lambda g: (
        film.bead_length_m(g["fluid_ounces"] * FLUID_OUNCE_M3, g["width_in"] * INCH_M, g["depth_in"] * INCH_M) / FOOT_M
    ),
    "tile_count": lambda g: tile.tile_count(g["area_sqft"] * SQFT_M2, *(s * INCH_M for s in g["tile_in"]), g["waste"]),
    "joints_across": lambda g: tile.joints_across(g["length_ft"] * FOOT_M, g["spacing_ft"] * FOOT_M),
    "least_joint_in": lambda g: tile.least_joint_m(g["variation_in"] * INCH_M) / INCH_M,
    "lath_sqft": lambda g: sheets.lath_net_m2(*sheet(g), g["lap_in"] * INCH_M) / SQFT_M2,
    "screws": lambda g: sheets.sheet_screws(*sheet(g)).total,
    "joist_screws": lambda g: sheets.joist_screws(*sheet(g)).total,
    "board_screws": lambda g: sheets.board_screws(*sheet(g)),
}

PEOPLE: Mapping[str, Callable[[Given], float]] = {
    "mixers_needed": lambda g: crew.mixers_needed(g["bags"], g["flow_min"], g["cycle_min"]),
    "front_ft_per_min": front,
    "weight_limit_lb": lambda g: lifting.weight_limit_kg(lift(g)) / POUND_KG,
    "lifting_index": lambda g: lifting.lifting_index(g["weight_lb"] * POUND_KG, lift(g)),
    "letter_height_in": lambda g: sight.letter_height_m(g["distance_in"] * INCH_M, g["arcmin"]) / INCH_M,
}

OURS: Mapping[str, Callable[[Given], float]] = {**AIR, **FLOORS, **AMOUNTS, **PEOPLE}
"""Question of the table -> our answer."""
