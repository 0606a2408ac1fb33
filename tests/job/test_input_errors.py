"""What a job can come as and be none: options of the quick look, files, bytes, anything at all."""

import io
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from job_tables import GOOD, refusal, text_of

from stairs.errors import FileError, JobError, StairsError
from stairs.job import job_from_mapping, quick_job, read_job

# ----------------------------------------------------------------- the quick look


QUICK_ERRORS = [
    (("abc", 50, 5), '--rise: "abc" is not a length'),
    ((0, 50, 5), "--rise: is 0. A length above 0 is needed"),
    ((1140, 50, 5), "--rise: 1140 is read as 1140 in. A bare number here is 5 to 600 in"),
    ((42, float("inf"), 5), "--run: inf is not a finite number"),
    ((42, "-50", 5), '--run: "-50" is negative'),
    ((42, 50, 0), "--treads: is 0. A flight has one tread or more"),
    ((42, 50, "five"), '--treads: "five" is not a count. Treads are counted as a whole number'),
    ((42, 50, 2.5), "--treads: 2.5 cannot be used. treads is a whole number of 1 or more"),
    ((42, 50, 5, "cm"), '--units: "cm" cannot be used. units is "in" or "mm"'),
    ((42, 50, 5, "in", 7), "rules: 7 is not text"),
]


@pytest.mark.parametrize(("values", "words"), QUICK_ERRORS)
def test_the_quick_look_names_its_options(values, words):
    with pytest.raises(JobError) as caught:
        quick_job(*values)
    assert str(caught.value).startswith(words)


# ------------------------------------------------------------------------- files


def refused_file(path, **keywords):
    with pytest.raises(FileError) as caught:
        read_job(path, **keywords)
    assert isinstance(caught.value, OSError)
    return str(caught.value)


def test_a_missing_file_is_named_with_the_nearest_one_there(tmp_path):
    (tmp_path / "stair.toml").write_text("x")
    path = tmp_path / "stairs.toml"
    assert refused_file(path) == (
        f"{path}: there is no such file. The nearest file there is stair.toml."
    )
    for far in (tmp_path / "none" / "x", tmp_path / "bom.toml"):
        assert refused_file(far).endswith("there is no such file. Check the path.")


def test_a_directory_is_no_job(tmp_path):
    assert refused_file(tmp_path) == (
        f"{tmp_path}: is a directory. A job is one TOML file. Name the file in it."
    )


def test_a_refusal_of_the_file_system_says_so(tmp_path, monkeypatch):
    def refuse(*_):
        raise PermissionError(13, "no")

    monkeypatch.setattr("builtins.open", refuse)
    with pytest.raises(FileError, match="^a.toml: may not be read. Give yourself the right"):
        read_job("a.toml")


def test_a_path_under_a_file_says_what_the_system_says(tmp_path):
    (tmp_path / "stair.toml").write_text("x")
    assert "cannot be read (Not a directory). Check the path" in refused_file(
        tmp_path / "stair.toml" / "x"
    )


@pytest.mark.parametrize("name", ["x" * 5000, "a\0b"])
def test_a_path_that_cannot_be_one_says_so(name):
    assert "cannot be read (" in refused_file(name)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "is empty. A job file holds units, [panel], [bracket], [post] and one [[section]]"),
        (b" \n\n", "is empty"),
        (b"\xef\xbb\xbf", "is empty"),
        (b"title = 'caf\xe9'", "is not text in UTF-8: the byte at offset 12 does not read as any"),
        (b"\xef\xbb\xbftitle = 'caf\xe9'", "the byte at offset 15 does not read"),
        (
            b"\x89PNG\r\n\x00\x1a",
            "is not text: the byte at offset 0 does not read as any character",
        ),
        (b"\xff\xfet\x00i\x00", "is not text: the byte at offset 0"),
        (b"PK\x03\x04\x00\x00", "is not text: the byte at offset 4 is zero"),
        (b"#" * 1_000_001, "has more than 1 MB. A job file has a few kilobytes"),
    ],
    ids=["empty", "blank", "mark", "latin", "mark-latin", "png", "utf-16", "zip", "large"],
)
def test_bytes_that_are_no_job_file_are_refused(tmp_path, data, words):
    path = tmp_path / "stair.toml"
    path.write_bytes(data)
    message = refused_file(path)
    assert message.startswith(f"{path}: ")
    assert words in message
    assert words in refused_file("-", stdin=io.BytesIO(data))


@pytest.mark.parametrize("state", ["closed", "missing", "a directory"])
def test_standard_input_that_cannot_be_read_says_so(state, monkeypatch):
    stream = io.BytesIO()
    if state == "closed":
        stream.close()
    elif state == "missing":
        stream = None
        monkeypatch.setattr("sys.stdin", None)
    else:

        def refuse(_):
            raise IsADirectoryError(21, "Is a directory")

        monkeypatch.setattr("sys.stdin", type("Stream", (), {"read": staticmethod(refuse)}))
        stream = None
    assert "standard input: cannot be read. A job file is read from it" in refused_file(
        "-", stdin=stream
    )


def test_text_from_standard_input_that_is_not_utf_8_is_refused():
    stream = io.StringIO("title = 'caf\udce9'")
    assert "standard input: is not text in UTF-8: the byte at offset 12" in refused_file(
        "-", stdin=stream
    )


@pytest.mark.parametrize(
    ("text", "place", "words"),
    [
        ("units = in\n", "line 1, column 9", '"units = in" cannot be read. Put the text '
         'between two quotes: units = "in"'),
        ("units = 'in'\n\npanel height = 3\n", "line 3, column 7", "Join the words of a "
         "key by _: panel_height = 3"),
        ("units = 'in'\nunits = 'mm'", "line 2", "the key or table was given before, at "
         '"units = \'mm\'". A job file is TOML: key = value, text in quotes. Line 1 has it too: '
         "keep one of the two"),
        ("[panel]\n[post]\n[panel]\n", "line 3", "the key or table was given before"),
        ("[panel]\npitch = 1\npitch = 2\n", "line 3", "the key or table was given before"),
        ("s = { a = 1, a = 2 }", "line 1", "the key or table was given before"),
        ("units = 'in'\nstock = [1, 2", "line 2, column 14", "Close it with ]: stock = [1, 2]"),
        ("stock = [1, 2\n\n[post]\n", "line 1", "Close it with ]: stock = [1, 2]"),
        ("units = 'in'\r\nx = 'a\x1b[31m'\r\n", "line 2", '"x = \'a\\x1b[31m\'" cannot be read'),
        ("date = 2024-02-31", "line 1", "invalid date"),
        ("rise = 36 1/4", "line 1", 'Put the measurement between two quotes: rise = "36 1/4"'),
        ('rise = "36 1/4""', "line 1", "Put the measurement between two quotes and leave off the "
         'inch mark: rise = "36 1/4"'),
        ("rise = 5' 3 1/2\"", "line 1", "rise = \"5' 3 1/2\""),
        ("rise = “36 1/4”", "line 1", "These are curly quotes. Use straight ones: rise = "
         '"36 1/4"'),
        ("rise = 36,25", "line 1", "Write it without a comma: rise = 36.25"),
        ("rise = 19,7 cm", "line 1", 'Write it without a comma: rise = "19.7 cm"'),
        ("height = 1,000", "line 1", "Write it without a comma: height = 1000"),
        ("handrail = True", "line 1", "Write it in small letters, without quotes: handrail = true"),
        ("handrail = no # none", "line 1", "without quotes: handrail = false"),
    ],
)  # fmt: skip
def test_text_that_is_not_toml_is_shown_by_line_and_column(text, place, words):
    error = refusal(text)
    assert isinstance(error, FileError)
    assert f"stair.toml: {place}" in str(error)
    assert words in str(error)
    assert "\x1b" not in str(error)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("x = " + "[" * 100_000, "nests lists or tables too deeply to be read"),
        (
            "x = " + "9" * 5000,
            "holds a number that is too long to be read. Numbers have at most 30",
        ),
        ("x = 1e" + "9" * 30, "holds a number that is too long to be read"),
    ],
)
def test_text_that_would_exhaust_the_reader_is_refused(text, words):
    text = "units = 'in'\n" + text
    error = refusal(text)
    assert isinstance(error, FileError)
    assert words in str(error)
    if "number" in words:
        assert error.where == "stair.toml: line 2: x"


# ------------------------------------------------------------- anything at all

VALUES = st.recursive(
    st.one_of(
        st.none(),
        st.booleans(),
        st.integers(),
        st.floats(),
        st.decimals(),
        st.dates(),
        st.text(max_size=8),
        st.sampled_from(["auto", "7 3/4", "-1", "level", "flight", "closed", "1/0"]),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=5), inner, max_size=3)
    ),
    max_leaves=6,
)
PLACES = st.sampled_from(
    [(table, key) for table, keys in GOOD.items() for key in keys]
    + [("section", key) for key in ("nosings", "posts", "bays", "bottom_gap", "turn", "rake")]
    + [
        ("panel", "slot"),
        ("panel", "stock"),
        ("local", "x"),
        ("sheet", "address"),
        ("top", "title"),
    ]
)


@settings(max_examples=180, deadline=None)
@given(place=PLACES, value=VALUES)
def test_any_value_anywhere_is_read_or_refused_in_words(place, value):
    import tomllib

    mapping = tomllib.loads(text_of(GOOD), parse_float=Decimal)
    table, key = place
    target = {"top": mapping, "section": mapping["section"][0]}.get(table)
    (mapping.setdefault(table, {}) if target is None else target)[key] = value
    try:
        job = job_from_mapping(mapping)
    except JobError as error:
        assert key in str(error) or table in str(error)
        assert str(error).isprintable()
        assert len(str(error)) < 700
    else:
        assert job.sections


@settings(max_examples=120, deadline=None)
@given(text=st.one_of(st.text(max_size=60), st.binary(max_size=60)))
def test_any_bytes_are_refused_in_words(text):
    stream = io.StringIO(text) if isinstance(text, str) else io.BytesIO(text)
    with pytest.raises(StairsError) as caught:
        read_job("-", stdin=stream)
    assert str(caught.value).startswith("standard input: ")
