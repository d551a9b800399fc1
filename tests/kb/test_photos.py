"""Photos of findings: what is kept of a picture, what is left out, what is refused."""

from __future__ import annotations

import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from typing import Any

import pillow_heif
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image, PngImagePlugin

import kb.photo_files
from kb.desk import Desk
from kb.errors import NotFound, PhotosRefused, UsageProblem
from kb.photo_files import MOST_BYTES, NoPhoto, read_photo
from kb.photo_parts import MOST_SCANS
from kb.photos import MOST_AT_ONCE, safe_name
from kb.store.photos import Photo
from tests.conftest import HOSTILE, Ran

Run = Callable[..., Ran]
SECRET = b"48.137 N 11.575 E"
TAKEN = "2024:05:01 10:20:30"
SETTINGS = settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow]
)


def picture(width: int = 60, height: int = 40, *, mode: str = "RGB") -> Image.Image:
    """A picture no two parts of which are the same."""
    image = Image.new("RGB", (width, height))
    image.putdata([(x * 4 % 256, y * 6 % 256, (x * y) % 256) for y in range(height) for x in range(width)])
    return image.convert(mode)


def camera_exif(orientation: int = 6) -> bytes:
    """What a telephone writes: how it was held, when, and where it was."""
    exif = Image.Exif()
    exif[0x0112], exif[0x010E], exif[0x0132] = orientation, SECRET.decode(), "2024:05:02 09:00:00"
    exif.get_ifd(0x8769).update({0x9003: TAKEN, 0x9011: "+02:00", 0x927C: SECRET, 0x9286: SECRET, 0xA001: 1})
    exif.get_ifd(0x8825).update({1: "N", 2: (48.0, 8.0, 13.2), 3: "E", 4: (11.0, 34.0, 30.0)})
    for table in (0x8769, 0x8825):
        exif[table] = exif.get_ifd(table)
    return exif.tobytes()


def as_file(image: Image.Image, kind: str, **values: Any) -> bytes:
    """The bytes of a picture file."""
    file = BytesIO()
    image.save(file, kind, **values)
    return file.getvalue()


def jpeg_full_of_places() -> bytes:
    """A JPEG that says in every way there is where it was taken, and a second picture behind the first."""
    body = as_file(
        picture(), "JPEG", exif=camera_exif(), comment=SECRET, xmp=b"<x>" + SECRET + b"</x>", progressive=True
    )
    captions = b"\xff\xed" + (len(SECRET) + 2).to_bytes(2, "big") + SECRET
    own = b"\xff\xe7" + (len(SECRET) + 2).to_bytes(2, "big") + SECRET
    return body[:2] + captions + own + body[2:] + SECRET + body


def png_full_of_places() -> bytes:
    """The same as PNG."""
    texts = PngImagePlugin.PngInfo()
    texts.add_text("Comment", SECRET.decode())
    texts.add_itxt("XML:com.adobe.xmp", SECRET.decode())
    texts.add(b"prVt", SECRET)
    return as_file(picture(), "PNG", exif=camera_exif(), pnginfo=texts) + SECRET


def pixels(body: bytes) -> tuple[str, tuple[int, int], bytes]:
    """What a picture shows, exactly."""
    with Image.open(BytesIO(body)) as image:
        return image.mode, image.size, image.tobytes()


@pytest.fixture
def finding(desk: Desk) -> str:
    """A finding to add photos to."""
    return desk.findings.add("white strings", airframe="A").id


@pytest.mark.parametrize("body", [jpeg_full_of_places(), png_full_of_places()], ids=["jpeg", "png"])
def test_the_position_is_left_out_and_every_pixel_stays(body: bytes) -> None:
    """Wherever the place was written; how it is turned and when it was taken stays."""
    assert SECRET in body
    read = read_photo(body)
    kept = read.photo.body
    assert SECRET not in kept
    assert pixels(kept) == pixels(body)
    with Image.open(BytesIO(kept)) as image:
        exif = image.getexif()
        assert dict(exif.get_ifd(0x8825)) == {}
        assert set(exif) == {0x0112, 0x0132, 0x8769}
        assert dict(exif.get_ifd(0x8769)) == {0x9003: TAKEN, 0x9011: "+02:00", 0xA001: 1}
        assert exif[0x0112] == 6
    assert (read.photo.taken, read.photo.width, read.photo.height) == ("2024-05-01T10:20:30", 40, 60)
    assert "left out: position" in read.notes[0]
    assert "bytes behind the picture" in read.notes[0]


@pytest.mark.parametrize("body", [jpeg_full_of_places(), png_full_of_places()], ids=["jpeg", "png"])
def test_the_position_stays_when_it_is_kept_on_purpose(body: bytes) -> None:
    """Byte for byte, and nothing is said to be left out."""
    read = read_photo(body, keep_position=True)
    assert (read.photo.body, read.notes, read.photo.taken) == (body, (), "2024-05-01T10:20:30")


@pytest.mark.parametrize("body", [jpeg_full_of_places(), png_full_of_places()], ids=["jpeg", "png"])
def test_what_is_cleaned_is_clean(body: bytes) -> None:
    """A photo saved and added again is the same photo."""
    once = read_photo(body).photo
    again = read_photo(once.body)
    assert (again.photo.sha256, again.notes) == (once.sha256, ())


def test_the_colour_profile_stays() -> None:
    """Without it the colours would be others."""
    for kind in ("JPEG", "PNG"):
        kept = read_photo(as_file(picture(), kind, icc_profile=b"profile" * 20)).photo.body
        with Image.open(BytesIO(kept)) as image:
            assert image.info["icc_profile"] == b"profile" * 20


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGB", "RGBA", "I;16"])
def test_every_kind_of_png_is_kept_as_it_is(mode: str) -> None:
    """With all its bits; its thumbnail is an ordinary JPEG."""
    image = picture(mode="L").convert("I").convert("I;16") if mode == "I;16" else picture(mode=mode)
    body = as_file(image, "PNG")
    photo = read_photo(body).photo
    assert pixels(photo.body) == pixels(body)
    assert pixels(photo.thumbnail)[:2] == ("RGB", (60, 40))


@pytest.mark.parametrize(("mode", "values"), [("L", {}), ("CMYK", {}), ("RGB", {"restart_marker_rows": 1})])
def test_every_kind_of_jpeg_is_kept_as_it_is(mode: str, values: dict[str, Any]) -> None:
    """Grey, for print, and with restart markers in its data."""
    body = as_file(picture(mode=mode), "JPEG", exif=camera_exif(), **values)
    assert pixels(read_photo(body).photo.body) == pixels(body)


def test_the_thumbnail_is_small_turned_and_says_nothing() -> None:
    """As the picture is meant to be seen, 320 pixels at most, without a word beside it."""
    image = Image.new("RGB", (1000, 500), "blue")
    image.paste("red", (0, 0, 1000, 250))  # red above
    for orientation, corner in ((1, "red"), (3, "blue"), (6, "blue"), (8, "red")):
        photo = read_photo(as_file(image, "JPEG", exif=camera_exif(orientation), comment=SECRET)).photo
        with Image.open(BytesIO(photo.thumbnail)) as small:
            assert max(small.size) == 320
            assert (small.width > small.height) == (orientation < 5) == (photo.width > photo.height)
            assert not set(small.info) - {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
            red, _, blue = small.getpixel((5, 5))  # type: ignore[misc]
            assert ("red" if red > blue else "blue") == corner


def heic() -> bytes:
    """A picture as some telephones take it."""
    file = BytesIO()
    pillow_heif.from_pillow(picture(64, 48)).save(file, exif=camera_exif())
    return file.getvalue()


def test_a_heic_picture_is_kept_as_jpeg_without_its_position() -> None:
    """Turned as it was meant to be, with its time, and it is said what was done."""
    read = read_photo(heic())
    assert (read.photo.kind, read.photo.width, read.photo.height) == ("jpeg", 48, 64)
    assert read.photo.taken == "2024-05-01T10:20:30"
    assert SECRET not in read.photo.body
    assert "kept as JPEG of quality 95" in read.notes[0]
    with Image.open(BytesIO(read.photo.body)) as image:
        assert image.size == (48, 64)
        assert 0x0112 not in image.getexif()
        assert not image.getexif().get_ifd(0x8825)


def test_a_heic_picture_is_kept_as_it_is_with_its_position() -> None:
    """When that is wanted."""
    photo = read_photo(heic(), keep_position=True).photo
    assert (photo.kind, photo.body, photo.width) == ("heic", heic(), 48)


@pytest.mark.parametrize(
    "body",
    [as_file(picture(), "JPEG"), as_file(picture(), "JPEG", progressive=True), as_file(picture(), "PNG"), heic()],
    ids=["jpeg", "progressive", "png", "heic"],
)
def test_a_picture_cut_short_is_refused(body: bytes) -> None:
    """Wherever it was cut."""
    end = len(body)
    for cut in {1, 2, 3, 8, 20, end // 3, end // 2, end - 20, end - 2, end - 1}:
        with pytest.raises(NoPhoto):
            read_photo(body[:cut])


@pytest.mark.parametrize(
    ("body", "said"),
    [
        (b"", "is empty"),
        (b"GIF89a" + b"\0" * 50, "is no JPEG, PNG or HEIC picture by its content"),
        (b"%!PS-Adobe-3.0 EPSF-3.0", "is no JPEG, PNG or HEIC"),
        (b"\xff\xd8\xff\xd9", "it has no picture or several"),
        (b"\xff\xd8\xff" + b"\0" * 40, "its parts do not follow one another"),
        (b"\x89PNG\r\n\x1a\n" + b"\0" * 40, "damaged"),
        (b"\0\0\0\x18ftypheic" + b"\0" * 40, "cannot be decoded whole"),
        (as_file(picture(), "PNG").replace(b"IDAT", b"IDAX"), "a check sum does not fit"),
        (b"\xff\xd8\xff" + b"\0" * MOST_BYTES, "has 20.0 MB, at most 20 MB are kept"),
    ],
)
def test_what_is_no_whole_picture_is_refused(body: bytes, said: str) -> None:
    """In one sentence that says why."""
    with pytest.raises(NoPhoto, match=said):
        read_photo(body)


def test_a_picture_of_too_many_pixels_is_refused_before_it_is_decoded(monkeypatch: pytest.MonkeyPatch) -> None:
    """A small file can say that it is a picture of a thousand million pixels."""
    monkeypatch.setattr(kb.photo_files, "MOST_PIXELS", 60 * 40 - 1)
    monkeypatch.setattr(kb.photo_files, "_decoded", lambda *_: pytest.fail("it was decoded"))
    for body in (as_file(picture(), "PNG"), as_file(picture(), "JPEG")):
        with pytest.raises(NoPhoto, match="has 60 x 40 pixels"):
            read_photo(body)
    with pytest.raises(NoPhoto, match="has 48 x 64 pixels"):
        read_photo(heic())


def test_a_picture_of_endless_passes_is_refused() -> None:
    """It would keep the decoder busy for minutes."""
    body = as_file(picture(), "JPEG", progressive=True)
    scan = body.rindex(b"\xff\xda")
    with pytest.raises(NoPhoto, match="more than 100 passes"):
        read_photo(body[:scan] + body[scan:-2] * MOST_SCANS + body[-2:])


@pytest.mark.parametrize(
    "table",
    [
        {0x0112: 99}, {0x0112: 0}, {0x0132: "yesterday"}, {0x0132: "2024:99:99 10:20:30"}, {0x0132: "\0" * 20},
    ],
)  # fmt: skip
def test_odd_contents_of_exif_are_left_out(table: dict[int, Any]) -> None:
    """They are no reason to refuse the picture."""
    exif = Image.Exif()
    exif.update(table)
    photo = read_photo(as_file(picture(), "JPEG", exif=exif.tobytes())).photo
    assert (photo.taken, photo.width) == (None, 60)
    with Image.open(BytesIO(photo.body)) as image:
        assert not image.getexif()


@SETTINGS
@given(noise=st.binary(max_size=200))
def test_any_bytes_as_exif_leave_the_picture_as_it_is(noise: bytes) -> None:
    """Read or not, nothing of them is kept that was not understood."""
    body = as_file(picture(), "JPEG", exif=b"Exif\0\0" + noise)
    photo = read_photo(body).photo
    assert pixels(photo.body) == pixels(body)
    if len(noise) > 40:
        assert noise not in photo.body


@SETTINGS
@given(
    start=st.sampled_from([b"", b"\xff\xd8\xff\xe0", b"\x89PNG\r\n\x1a\n", b"\0\0\0\x18ftypheic"]), noise=st.binary()
)
def test_random_bytes_are_refused_in_one_sentence(start: bytes, noise: bytes) -> None:
    """Whatever they begin with."""
    with pytest.raises(NoPhoto):
        read_photo(start + noise)


@SETTINGS
@given(
    body=st.sampled_from([jpeg_full_of_places(), png_full_of_places(), heic()]),
    places=st.lists(st.tuples(st.floats(0, 1, exclude_max=True), st.integers(0, 255)), min_size=1, max_size=4),
)
def test_a_picture_with_wrong_bytes_is_refused_or_kept_whole(body: bytes, places: list[tuple[float, int]]) -> None:
    """Never anything but the one sentence; what is kept can be read again."""
    changed = bytearray(body)
    for place, value in places:
        changed[int(place * len(changed))] = value
    try:
        photo = read_photo(bytes(changed)).photo
    except NoPhoto:
        return
    assert read_photo(photo.body).photo.sha256 == photo.sha256


def test_photos_become_a_revision_of_the_finding(desk: Desk, finding: str, tmp_path: Path) -> None:
    """Under the names of their bytes, in the order given; undo takes them back."""
    paths = [tmp_path / "one.jpg", tmp_path / "two.png"]
    paths[0].write_bytes(jpeg_full_of_places())
    paths[1].write_bytes(as_file(picture(), "PNG"))
    added = desk.photos.add(finding[-8:], paths, who="kp")
    assert added.finding.photos == tuple(one.sha256 for one in added.photos)
    assert [(one.kind, one.name) for one in desk.photos.list(finding)] == [("jpeg", "one.jpg"), ("png", "two.png")]
    assert (added.finding.said, added.finding.who) == ("revised", "kp")
    desk.history.undo()
    assert desk.photos.list(finding) == []


def test_a_photo_shown_already_makes_no_revision(desk: Desk, finding: str) -> None:
    """It is said, and nothing changes."""
    body = as_file(picture(), "PNG")
    first = desk.photos.add(finding, [body])
    again = desk.photos.add(finding, [body, body])
    assert (again.finding, again.photos) == (first.finding, ())
    assert "picture 1: shown already" in again.notes


def test_photos_added_at_once_by_several_are_all_shown(desk: Desk, finding: str) -> None:
    """Each is added to what the finding shows by then."""
    bodies = [as_file(picture(8 + number, 8), "PNG") for number in range(8)]
    with ThreadPoolExecutor(4) as threads:
        list(threads.map(lambda body: desk.photos.add(finding, [body]), bodies))
    assert set(desk.findings.get(finding).photos) == {sha256(body).hexdigest() for body in bodies}
    assert len(desk.history.of(finding)) == 9


def test_all_pictures_of_one_act_are_kept_or_none(desk: Desk, finding: str, tmp_path: Path) -> None:
    """Every bad one is named; neither store nor finding changes."""
    (tmp_path / "good.jpg").write_bytes(as_file(picture(), "JPEG"))
    (tmp_path / "renamed.jpg").write_text("a letter")
    (tmp_path / "empty.png").touch()
    os.mkfifo(tmp_path / "pipe")
    names = ["good.jpg", "renamed.jpg", "empty.png", "pipe", "nowhere.jpg", "a\0b.jpg"]
    with pytest.raises(PhotosRefused) as caught:
        desk.photos.add(finding, [tmp_path, *(tmp_path / name for name in names)])
    said = str(caught.value)
    assert "nothing was kept, 6 of 7 cannot be" in said
    for name in (tmp_path.name, *names[1:]):
        assert f"{name} " in said
    assert desk.store.photos.all() == []
    assert desk.findings.get(finding).photos == ()


def test_a_picture_is_told_by_its_content_not_its_name(desk: Desk, finding: str, tmp_path: Path) -> None:
    """A PNG called .jpg is kept, and saved, as what it is."""
    (tmp_path / "wrong.jpg").write_bytes(as_file(picture(), "PNG"))
    photo = desk.photos.add(finding, [tmp_path / "wrong.jpg"]).photos[0]
    assert photo.kind == "png"
    assert desk.photos.save(photo.sha256, tmp_path).suffix == ".png"


def test_no_act_takes_no_pictures_or_too_many(desk: Desk, finding: str) -> None:
    """All of them are in memory at once."""
    for count in (0, MOST_AT_ONCE + 1):
        with pytest.raises(UsageProblem, match="name 1 to 50 pictures"):
            desk.photos.add(finding, [b""] * count)


def test_a_photo_of_no_finding_is_not_kept(desk: Desk) -> None:
    """The finding is looked for first."""
    with pytest.raises(NotFound):
        desk.photos.add("00000000", [as_file(picture(), "PNG")])
    assert desk.store.photos.all() == []


def test_saving_never_overwrites(desk: Desk, finding: str, tmp_path: Path) -> None:
    """Neither a file named nor one of the same name in a folder."""
    body = as_file(picture(), "PNG")
    name = desk.photos.add(finding, [body]).photos[0].sha256
    path = desk.photos.save(name[:8], tmp_path)
    assert path.read_bytes() == body
    path.write_text("mine")
    for where in (tmp_path, path):
        with pytest.raises(UsageProblem, match="is there already and is left as it is"):
            desk.photos.save(name, where)
    assert path.read_text() == "mine"
    with pytest.raises(UsageProblem, match="cannot be written"):
        desk.photos.save(name, tmp_path / "no" / "folder.png")


def test_a_removed_photo_stays_in_the_store_and_the_history(desk: Desk, finding: str) -> None:
    """Restoring shows it again."""
    names = [one.sha256 for one in desk.photos.add(finding, [jpeg_full_of_places(), png_full_of_places()]).photos]
    assert desk.photos.remove(finding, names[0][:6]).photos == (names[1],)
    assert desk.store.photos.all() == sorted(names)
    with pytest.raises(NotFound, match="no photo of this finding is called"):
        desk.photos.remove(finding, names[0])
    desk.history.undo()
    assert desk.findings.get(finding).photos == tuple(names)


@SETTINGS
@given(name=st.text(max_size=300) | st.sampled_from([*HOSTILE, "..", "../../etc/passwd", "CON", "a/b\\c", ".", " "]))
def test_any_name_of_a_file_becomes_a_safe_one(name: str) -> None:
    """No folder, nothing hidden, no control character, short enough for any disk."""
    made = safe_name(Photo(kind="jpeg", body=b"x", width=1, height=1, thumbnail=b"", name=name))
    assert Path(made).name == made
    assert made.isprintable()
    assert not made.startswith(".")
    assert made.endswith("-2d711642.jpg")
    assert len(made.encode("utf-8", "replace")) < 200


@SETTINGS
@given(name=st.text(max_size=300) | st.sampled_from(HOSTILE))
def test_any_name_of_a_file_can_be_kept(desk: Desk, finding: str, name: str) -> None:
    """Half characters replaced, cut where it is too long."""
    kept = read_photo(as_file(picture(4, 4), "PNG"), name=name).photo
    desk.store.photos.put([kept])
    assert desk.store.photos.get(kept.sha256).kind == "png"


def test_a_photo_is_drawn_in_cells(desk: Desk, finding: str) -> None:
    """Two dots each, no more than asked for."""
    image = Image.new("RGB", (400, 400), "#ff0000")
    image.paste("#0000ff", (0, 200, 400, 400))
    name = desk.photos.add(finding, [as_file(image, "PNG")]).photos[0].sha256
    rows = desk.photos.cells(name, columns=10, rows=4)
    assert [len(row) for row in rows] == [8] * 4
    assert rows[0][0][0][:3] in ("#fe", "#ff")
    assert rows[3][0][1][-2:] in ("fe", "ff")


@SETTINGS
@given(thumbnail=st.binary() | st.binary().map(lambda noise: as_file(picture(), "JPEG")[:-40] + noise))
def test_a_thumbnail_from_elsewhere_is_drawn_or_not(desk: Desk, thumbnail: bytes) -> None:
    """Nothing when it is damaged, is something else, or is large enough to fill the memory."""
    photo = Photo(kind="png", body=b"body" + thumbnail, width=1, height=1, thumbnail=thumbnail)
    desk.store.photos.put([photo])
    rows = desk.photos.cells(photo.sha256, columns=10, rows=4)
    assert rows == [] or thumbnail.startswith(b"\xff\xd8")


def test_a_thumbnail_of_many_pixels_is_not_drawn(desk: Desk) -> None:
    """It is looked at before it is decoded."""
    large = as_file(picture(321, 20), "JPEG")
    desk.store.photos.put([Photo(kind="png", body=b"x", width=1, height=1, thumbnail=large)])
    assert desk.photos.cells(desk.store.photos.all()[0], columns=10, rows=4) == []


def test_the_commands_do_what_the_desk_does(run_cli: Run, tmp_path: Path) -> None:
    """Add, list, show, save and remove; hostile names are shown, not obeyed."""
    name = run_cli("add", "--airframe", "A", "strings").out.strip()[-8:]
    assert run_cli("photo", "list", name).exit_code == 1
    file = tmp_path / "\x1b]52;c;aGk=\x07.jpg"
    file.write_bytes(jpeg_full_of_places())
    added = run_cli("photo", "add", name, str(file), "--who", "kp")
    assert "taken 2024-05-01 10:20:30" in added.out
    assert "left out: position" in added.err
    assert "\x1b" not in added.out + added.err
    photo = run_cli("photo", "list", name, "--json").data[0]
    assert run_cli("photo", "show", photo["sha256"][:8]).out.startswith(f"{photo['sha256'][:8]}  JPEG 40 x 60")
    saved = run_cli("photo", "save", photo["sha256"][:8], str(tmp_path), "--json").data["file"]
    assert SECRET not in Path(saved).read_bytes()
    assert "oddfix undo takes that back" in run_cli("photo", "remove", name, photo["sha256"][:8]).err
    refused = run_cli("photo", "add", name, "/dev/null", str(tmp_path))
    assert (refused.exit_code, refused.out) == (3, "")
    assert run_cli("photo", "show", "ffff").exit_code == 1


def test_a_photo_is_drawn_in_a_terminal_with_colours(
    run_cli: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In as many colours as the terminal says it has."""
    name = run_cli("add", "--airframe", "A", "strings").out.strip()[-8:]
    (tmp_path / "red.png").write_bytes(as_file(Image.new("RGB", (8, 8), "#ff0000"), "PNG"))
    run_cli("photo", "add", name, str(tmp_path / "red.png"))
    photo = run_cli("photo", "list", name, "--json").data[0]["sha256"]
    monkeypatch.setattr("kb.cli.output.has_colour", lambda: True)
    monkeypatch.setenv("COLORTERM", "")
    assert "\x1b[38;5;196;48;5;196m▀" in run_cli("photo", "show", photo).out
    monkeypatch.setenv("COLORTERM", "truecolor")
    assert "\x1b[38;2;254;0;0;48;2;254;0;0m▀" in run_cli("photo", "show", photo).out
