import pytest
from hypothesis import given
from hypothesis import strategies as st

from tameshi.errors import RigError
from tameshi.rig import BARE, calibration_table, fit_calibration, parse_rig
from tests.rig.rigs import RIG, rig


def test_every_quantity_becomes_coherent_si():
    parsed = rig()
    assert (parsed.cell.capacity, parsed.cell.rated_output) == (5000.0, 0.002)
    assert parsed.cell.linearity == pytest.approx(0.0005)
    assert (parsed.amplifier.low_pass, parsed.converter.rate) == (4000.0, 20_000.0)
    assert parsed.converter.span == (-5.0, 5.0)
    # 2 mV/V x 5 V x 200 over 5 kN
    assert parsed.rated_sensitivity == pytest.approx(2.0 / 5000.0)


def test_what_is_left_out_is_not_known():
    parsed = rig(('low_pass = "4 kHz"\n', ""), ("damping_ratio = 0.03\n", ""))
    assert parsed.amplifier.low_pass is None
    assert parsed.cell.damping_ratio is None


def test_all_problems_are_told_at_once():
    text = RIG.replace('"5 kN"', '"5"').replace("gain", "gian").replace('"20 kHz"', '"20 kg"')
    with pytest.raises(RigError) as caught:
        parse_rig(text, where="post.toml")
    message = caught.value.message
    assert message.startswith("post.toml: ")
    assert "[cell] capacity: '5' has no unit" in message
    assert "no entry 'gian', did you mean 'gain'?" in message
    assert "[amplifier] gain is missing" in message
    assert "[converter] rate: '20 kg' is not a frequency" in message


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("[amplifier]", "[amp]", "the table [amplifier] is missing"),
        ('capacity = "5 kN"', 'capacity = "-5 kN"', "capacity must be above zero"),
        ("gain = 200", "gain = true", "gain = True is not a plain number"),
        ("gain = 200", 'gain = "200"', "is not a plain number"),
        ('["-5 V", "5 V"]', '["5 V", "-5 V"]', "span must run from low to high"),
        ('["-5 V", "5 V"]', '["-5 V"]', "is not a voltages"),
        ("damping_ratio = 0.03", "damping_ratio = 1.5", "damping_ratio must be from 0 up to 1"),
        ('"2500 Hz"', '"0 Hz"', "natural_frequency must be above zero"),
        ("[cell]", "[cell", "is not a TOML file"),
        ('pad = "none"', "pad = false", "pad = False is not a text"),
        ('pad = "none"', "pad = 6", "pad = 6 is not a text"),
    ],
)
def test_an_impossible_rig_is_refused(old, new, told):
    with pytest.raises(RigError) as caught:
        parse_rig(RIG.replace(old, new))
    assert told in caught.value.message


@pytest.mark.parametrize("pad", ['pad = "none"', 'pad = " None "', 'pad = "bare"', 'pad = "No  pad"'])
def test_a_bare_plate_is_bare_however_it_is_written(pad):
    assert rig(('pad = "none"', pad)).plate.pad == BARE


@pytest.mark.parametrize("pad", ["", 'pad = ""', 'pad = "  "'])
def test_a_pad_that_is_not_said_is_not_known(pad):
    assert rig(('pad = "none"', pad)).plate.pad is None


def test_a_file_without_a_plate_does_not_say_that_it_is_bare():
    assert rig(('[plate]\npad = "none"\n', "")).plate.pad is None


def test_blanks_make_no_other_pad():
    assert rig(('pad = "none"', 'pad = "felt,  6 mm "')).plate.pad == "felt, 6 mm"


def test_nesting_bomb_is_refused():
    with pytest.raises(RigError):
        parse_rig("a = " + "[" * 20_000)


@given(st.text(max_size=200))
def test_no_text_whatever_breaks_it(text):
    with pytest.raises(RigError):
        parse_rig(text)


def test_a_calibration_written_into_the_file_reads_back():
    fitted = fit_calibration(
        [0.0, 500.0, 1000.0, 1500.0, 2000.0], [0.001, 0.2, 0.4003, 0.6, 0.8001], load_u=0.001
    )
    parsed = parse_rig(RIG + calibration_table(fitted, date="2026-03-01"))
    assert parsed.calibration is not None
    assert parsed.calibration.coefficients == fitted.coefficients
    assert parsed.calibration.covariance == fitted.covariance
    assert parsed.calibration.load_u == pytest.approx(0.001)
    assert parsed.calibration.greatest == 2000.0


def test_the_same_chain_has_the_same_identity_whatever_the_pad():
    assert rig().identity == rig(('pad = "none"', 'pad = "felt 10 mm"')).identity
    assert rig().identity != rig(("gain = 200", "gain = 201")).identity


@pytest.mark.parametrize("covariance", ["[[1.0]]", "[[1.0, 0.0]]", "[1.0, 2.0]"])
def test_a_covariance_of_the_wrong_form_is_refused(covariance):
    table = (
        f"[calibration]\ncoefficients = [0.0, 4e-4]\ncovariance = {covariance}\n"
        'residual_sd = "1 mV"\ndof = 8\nlowest = "0 N"\ngreatest = "2 kN"\n'
    )
    with pytest.raises(RigError) as caught:
        parse_rig(RIG + table)
    assert "covariance must be square" in caught.value.message
