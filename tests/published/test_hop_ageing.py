"""Hop ageing against published values."""

from types import SimpleNamespace

from wortline.science import hop_ageing

CASES = "hop_ageing.toml"


def alpha_loss_per_day(lost_in_six_months):
    return hop_ageing.alpha_loss_per_min(lost_in_six_months) * 1440.0


HERE = SimpleNamespace(
    alpha_loss_per_day=alpha_loss_per_day,
    packaging=lambda kind: hop_ageing.PACKAGING_FACTOR[kind],
)


def test_published(case, agrees):
    agrees(case, hop_ageing, HERE)


def test_ten_kelvin():
    """Derived: a rate that halves per 15 K has a quotient of 1.587 per 10 K."""
    factor = hop_ageing.storage_temperature_factor
    assert abs(factor(14.0) / factor(4.0) - 1.587) < 5e-4
