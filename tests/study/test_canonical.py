import json
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tameshi.errors import WrongUseError
from tameshi.study import canonical_json

numbers = st.integers() | st.floats(allow_nan=False, allow_infinity=False)
contents = st.recursive(
    st.none() | st.booleans() | numbers | st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(), inner, max_size=4),
    max_leaves=12,
)


@given(contents)
def test_what_is_read_back_is_equal_and_gives_the_same_text(content):
    text = canonical_json(content)
    assert json.loads(text) == content
    assert canonical_json(json.loads(text)) == text
    text.encode()


@given(st.dictionaries(st.text(), contents, min_size=2, max_size=6), st.randoms())
def test_the_order_of_keys_does_not_matter(content, random):
    keys = list(content)
    random.shuffle(keys)
    assert canonical_json({key: content[key] for key in keys}) == canonical_json(content)


def test_truth_is_not_a_number():
    """Python takes True for 1, JSON does not."""
    assert canonical_json([True, False]) != canonical_json([1, 0])


@given(st.integers(-(2**53), 2**53))
def test_a_whole_float_is_the_same_setting_as_an_integer(number):
    assert canonical_json(float(number)) == canonical_json(number) == str(number)


@pytest.mark.parametrize(
    ("content", "text"),
    [
        ({"b": [1.0, 2.5, None], "a": (True, "µ")}, '{"a":[true,"µ"],"b":[1,2.5,null]}'),
        (-0.0, "0"),
        (1e300, "1e+300"),
        (5e-324, "5e-324"),
        ("\0\n", '"\\u0000\\n"'),
    ],
)
def test_the_form_is_fixed(content, text):
    assert canonical_json(content) == text


@pytest.mark.parametrize(
    ("content", "place"),
    [
        ({"a": [0, math.nan]}, "it['a'][1]"),
        (math.inf, "it"),
        ({"a": {1, 2}}, "it['a']"),
        ({"a": b"x"}, "it['a']"),
        ({1: "x"}, "1"),
        ({"a": "\ud800"}, "it['a']"),
        ({"\ud800": 1}, "it"),
    ],
)
def test_what_json_cannot_hold_is_refused_with_its_place(content, place):
    with pytest.raises(WrongUseError) as caught:
        canonical_json(content)
    assert caught.value.code == "not-json"
    assert place in caught.value.message
