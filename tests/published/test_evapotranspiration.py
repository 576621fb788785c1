"""Reference ET against FAO-56's worked examples, ASCE figures and the refet library."""

from __future__ import annotations

import numpy as np
import pytest
import refet

from advisor.signals import evapotranspiration as et
from advisor.signals import sun, vapour

# --- FAO-56: Allen, Pereira, Raes & Smith 1998, FAO Irrigation and Drainage Paper 56 -------------


def test_example_2_pressure_and_psychrometric_constant() -> None:
    pressure = vapour.air_pressure(1800.0)
    assert pressure == pytest.approx(81.8, abs=0.05)
    assert vapour.psychrometric_constant(pressure) == pytest.approx(0.054, abs=0.0005)


def test_example_3_saturation_vapour_pressure() -> None:
    assert vapour.saturation_vapour_pressure(24.5) == pytest.approx(3.075, abs=0.001)
    assert vapour.saturation_vapour_pressure(15.0) == pytest.approx(1.705, abs=0.001)
    assert vapour.mean_saturation_vapour_pressure(24.5, 15.0) == pytest.approx(2.39, abs=0.005)


def test_example_4_vapour_pressure_from_a_psychrometer() -> None:
    actual = vapour.from_wet_bulb(19.5, 25.6, vapour.air_pressure(1200.0))
    assert actual == pytest.approx(1.91, abs=0.005)


def test_example_5_vapour_pressure_from_relative_humidity() -> None:
    assert vapour.from_humidity_max_min(25.0, 18.0, 82.0, 54.0) == pytest.approx(1.70, abs=0.005)
    assert vapour.from_humidity_mean(25.0, 18.0, 68.0) == pytest.approx(1.78, abs=0.005)
    assert vapour.from_humidity_max(18.0, 82.0) == pytest.approx(1.69, abs=0.005)


def test_example_8_extraterrestrial_radiation() -> None:
    assert sun.inverse_relative_distance(246) == pytest.approx(0.985, abs=0.0005)
    assert sun.declination(246) == pytest.approx(0.120, abs=0.0005)
    assert sun.sunset_hour_angle(-20.0, 246) == pytest.approx(1.527, abs=0.0005)
    assert sun.extraterrestrial_radiation(-20.0, 246) == pytest.approx(32.2, abs=0.05)


def test_example_10_radiation_from_sunshine() -> None:
    assert sun.radiation_from_sunshine(7.1, 10.9, 25.1) == pytest.approx(14.5, abs=0.06)


def test_examples_11_and_12_net_radiation_parts() -> None:
    assert sun.net_longwave(25.1, 19.1, 2.1, 14.5, 18.8) == pytest.approx(3.5, abs=0.05)
    # The book prints 11.1, from a radiation it did not round.
    assert sun.net_shortwave(14.5) == pytest.approx(11.1, abs=0.08)


def test_example_13_monthly_soil_heat_flux() -> None:
    flux = et.soil_heat_flux_monthly(14.1, 18.8)
    assert flux == pytest.approx(0.33, abs=0.005)
    assert 0.408 * flux == pytest.approx(0.13, abs=0.005)


def test_example_14_wind_at_two_metres() -> None:
    assert et.wind_at_2m(3.2, 10.0) == pytest.approx(2.4, abs=0.05)


def test_example_15_radiation_from_temperature() -> None:
    assert sun.radiation_from_temperature(26.6, 14.8, 40.6) == pytest.approx(22.3, abs=0.05)


def test_example_16_net_radiation_on_an_island() -> None:
    # Printed: Rns 16.9, Rnl 3.0, Rn 13.9. The shortwave is 0.77 of the radiation.
    assert sun.net_shortwave(16.9 / 0.77) - 3.0 == pytest.approx(13.9, abs=0.01)


def test_example_17_monthly_penman_monteith() -> None:
    """Bangkok, April: 13°44' N, 2 m, day 105."""
    ra = sun.extraterrestrial_radiation(13.0 + 44.0 / 60.0, 105)
    clear = sun.clear_sky_radiation(ra, 2.0)
    net = et.net_radiation(34.8, 25.6, 2.85, 22.65, clear)
    flux = 0.14 * (30.2 - 29.2)  # eq. 44: previous month 29.2, this month 30.2 °C
    found = et.penman_monteith(
        34.8,
        25.6,
        vapour_pressure_kpa=2.85,
        net_radiation_mj=net,
        wind_2m_m_s=2.0,
        elevation_m=2.0,
        soil_heat_flux_mj=flux,
    )
    assert ra == pytest.approx(38.06, abs=0.02)
    assert net == pytest.approx(14.33, abs=0.02)
    assert vapour.vapour_pressure_slope(30.2) == pytest.approx(0.246, abs=0.0005)
    assert found == pytest.approx(5.72, abs=0.01)


def test_example_18_daily_penman_monteith() -> None:
    """Uccle, 6 July: 50°48' N, 100 m."""
    day, latitude = 187, 50.8
    ra = sun.extraterrestrial_radiation(latitude, day)
    ea = vapour.from_humidity_max_min(21.5, 12.3, 84.0, 63.0)
    wind = et.wind_at_2m(10.0 / 3.6, 10.0)
    result = et.reference_et(
        21.5,
        12.3,
        day_of_year=day,
        latitude_deg=latitude,
        elevation_m=100.0,
        radiation_mj=22.07,
        vapour_pressure_kpa=ea,
        wind_2m_m_s=wind,
    )
    clear = sun.clear_sky_radiation(ra, 100.0)
    assert ra == pytest.approx(41.09, abs=0.01)
    assert clear == pytest.approx(30.90, abs=0.01)
    assert ea == pytest.approx(1.409, abs=0.001)
    assert wind == pytest.approx(2.078, abs=0.001)
    assert et.net_radiation(21.5, 12.3, ea, 22.07, clear) == pytest.approx(13.28, abs=0.01)
    assert result.method == et.PENMAN_MONTEITH
    assert result.mm == pytest.approx(3.9, abs=0.05)
    # The library pyet (1.4 and 1.5) gives 3.8801 for the same inputs.
    assert result.mm == pytest.approx(3.8801, abs=0.001)


def test_example_20_missing_data() -> None:
    """Lyon, July: 45°43' N, 200 m, day 196; humidity from Tmin, radiation from the range, u2 2."""
    latitude, day = 45.0 + 43.0 / 60.0, 196
    ra = sun.extraterrestrial_radiation(latitude, day)
    radiation = sun.radiation_from_temperature(26.6, 14.8, ra)
    full = et.reference_et(
        26.6,
        14.8,
        day_of_year=day,
        latitude_deg=latitude,
        elevation_m=200.0,
        radiation_mj=radiation,
        vapour_pressure_kpa=vapour.saturation_vapour_pressure(14.8),
        wind_2m_m_s=2.0,
    )
    assert ra == pytest.approx(40.6, abs=0.06)
    assert radiation == pytest.approx(22.3, abs=0.05)
    assert full.mm == pytest.approx(4.6, abs=0.05)
    assert et.hargreaves_samani(26.6, 14.8, ra) == pytest.approx(5.0, abs=0.05)


# --- Other sources ------------------------------------------------------------------------------


def test_vapour_slope_table_of_asce() -> None:
    """ASCE standardized reference ET, Table C-3, as the tests of the library pyet print it.

    Its temperatures are rounded to 0.1 °C, worth 0.0005 kPa/°C.
    """
    temperature = [21.65, 22.9, 23.7, 22.8, 24.3, 26.0, 26.1, 26.4, 23.9, 24.2]
    printed = [0.1585, 0.1692, 0.1762, 0.1684, 0.1820, 0.199, 0.1996, 0.2027, 0.1781, 0.1809]
    np.testing.assert_allclose(vapour.vapour_pressure_slope(temperature), printed, atol=0.0005)


def test_asce_daily_figures_of_fallon() -> None:
    """Fallon, Nevada, 1 July 2015: figures of the RefET program, carried by WSWUP/RefET's tests."""

    def celsius(fahrenheit: float) -> float:
        return (fahrenheit - 32.0) / 1.8

    low, high, dew = celsius(66.65), celsius(102.80), celsius(49.84)
    ea = vapour.saturation_vapour_pressure(dew)
    wind = et.wind_at_2m(4.80 * 0.44704, 3.0)
    radiation = 674.07 * 0.041868
    ra = sun.extraterrestrial_radiation(39.4575, 182)
    clear = 31.565939  # that program's full clear-sky formula, which we do not have
    assert ea == pytest.approx(1.2206674, abs=1e-5)
    assert vapour.mean_saturation_vapour_pressure(high, low) == pytest.approx(4.6747236, abs=1e-5)
    assert wind == pytest.approx(1.97611176, abs=1e-3)
    assert ra == pytest.approx(41.676108, abs=0.03)  # the solar constant has 3 or 4 digits
    longwave = sun.net_longwave(high, low, ea, radiation, clear)
    assert longwave * 4.901 / 4.903 == pytest.approx(6.5565340, abs=1e-4)  # ASCE's constant
    found = et.penman_monteith(
        high,
        low,
        vapour_pressure_kpa=ea,
        net_radiation_mj=et.net_radiation(high, low, ea, radiation, clear),
        wind_2m_m_s=wind,
        elevation_m=1208.5,
    )
    assert found == pytest.approx(7.9422320, abs=0.005)


def test_hargreaves_figure_of_another_library() -> None:
    """Tests of the library PyETo: 28 / 38 °C with a mean of 35 and Ra 38.93715 give 6.1 mm.

    That mean is not the mid-point; ours is, so the mean's factor is taken out again.
    """
    found = et.hargreaves_samani(38.0, 28.0, 38.93715) / (33.0 + 17.8) * (35.0 + 17.8)
    assert found == pytest.approx(6.1, abs=0.05)


@pytest.mark.parametrize("latitude", [30.0, 41.0, 52.0])
@pytest.mark.parametrize("elevation", [0.0, 350.0, 1800.0])
def test_agrees_with_refet(latitude: float, elevation: float) -> None:
    """refet 0.5 (Apache-2.0), ASCE method, simple clear sky, on a year of assorted weather."""
    days = np.arange(1.0, 366.0)
    random = np.random.default_rng(7)
    mean = 11.0 - 13.0 * np.cos(2.0 * np.pi * (days - 25.0) / 365.0)
    mean += random.normal(0.0, 4.0, days.size)
    span = random.uniform(2.0, 18.0, days.size)
    high, low = mean + span / 2.0, mean - span / 2.0
    clear = sun.clear_sky_radiation(sun.extraterrestrial_radiation(latitude, days), elevation)
    radiation = clear * random.uniform(0.05, 1.1, days.size)  # past both ends of the cloud clamp
    humid = random.uniform(0.4, 1.0, days.size) * vapour.saturation_vapour_pressure(low)
    wind = random.uniform(0.3, 7.0, days.size)
    ours = et.reference_et(
        high,
        low,
        day_of_year=days,
        latitude_deg=latitude,
        elevation_m=elevation,
        radiation_mj=radiation,
        vapour_pressure_kpa=humid,
        wind_2m_m_s=wind,
    )
    theirs = refet.Daily(
        tmin=low,
        tmax=high,
        ea=humid,
        rs=radiation,
        uz=wind,
        zw=2.0,
        elev=elevation,
        lat=latitude,
        doy=days,
        method="asce",
        rso_type="simple",
    ).eto()
    assert (ours.method == et.PENMAN_MONTEITH).all()
    np.testing.assert_allclose(ours.mm, np.maximum(theirs, 0.0), atol=0.01)


def test_hargreaves_stands_in_day_by_day() -> None:
    """The method is chosen per day, and without temperatures nothing is claimed."""
    unknown = np.nan
    result = et.reference_et(
        [25.0, 25.0, unknown],
        [12.0, 12.0, 12.0],
        day_of_year=[180.0, 181.0, 182.0],
        latitude_deg=40.0,
        elevation_m=300.0,
        radiation_mj=[22.0, unknown, 22.0],
        vapour_pressure_kpa=[1.2, 1.2, 1.2],
        wind_2m_m_s=2.0,
    )
    assert result.method.tolist() == [et.PENMAN_MONTEITH, et.HARGREAVES, et.UNKNOWN]
    assert np.isnan(result.mm).tolist() == [False, False, True]
    ra = sun.extraterrestrial_radiation(40.0, 181.0)
    assert result.mm[1] == pytest.approx(float(et.hargreaves_samani(25.0, 12.0, ra)))
