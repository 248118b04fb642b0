"""Only what was drawn anew is kept of a photo; anything else is refused whole."""

import random
from io import BytesIO
from typing import Any

import pytest
from PIL import Image, PngImagePlugin

from maintenance.models import AssemblyPhoto
from maintenance.services.backflow.photos import (
    LONGEST_SIDE,
    MOST_BYTES,
    add_photo,
    open_photo,
    photo_path,
    redraw,
    set_photo_removed,
)
from maintenance.services.errors import NotFoundError, ServiceError
from tests.services.backflow.register_cases import NOON, device

GPS_IFD, ORIENTATION = 0x8825, 0x0112


def picture(kind="JPEG", size=(80, 60), mode="RGB", colour="red", **options) -> bytes:
    out = BytesIO()
    Image.new(mode, size, colour).save(out, kind, **options)
    return out.getvalue()


def with_place(kind="JPEG", turned=1) -> bytes:
    exif = Image.Exif()
    exif[ORIENTATION] = turned
    exif[0x010F] = "CANARY-MAKER"
    exif.get_ifd(GPS_IFD)[1] = "N"
    exif.get_ifd(GPS_IFD)[2] = (44.0, 15.0, 0.0)
    return picture(kind, exif=exif)


def add(account, data, **more):
    return add_photo(
        account,
        device_id=device().pk,
        picture=BytesIO(data),
        now=NOON,
        actor="Ada",
        **more,
    )


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_what_is_kept_has_no_place_no_text_and_no_tail(office, kind):
    data = with_place(kind) + b"<script>CANARY()</script>"
    photo_id = add(office, data, caption="from the left")
    row = AssemblyPhoto.objects.get(pk=photo_id)
    with open_photo(office, device_id=device().pk, photo_id=photo_id) as file:
        kept = file.read()
    assert b"CANARY" not in kept
    assert data not in kept
    with Image.open(BytesIO(kept)) as shown:
        assert (shown.format, shown.size) == ("JPEG", (80, 60))
        assert not shown.getexif()
        assert not shown.getexif().get_ifd(GPS_IFD)
    assert row.caption == "from the left"
    assert len(row.file_name) == 52
    photo_path(row.file_name).unlink()


def test_a_text_of_a_png_stays_behind():
    info = PngImagePlugin.PngInfo()
    info.add_text("Comment", "CANARY")
    info.add_itxt("XML:com.adobe.xmp", "CANARY")
    assert b"CANARY" not in redraw(BytesIO(picture("PNG", pnginfo=info)))


def test_it_stands_upright_and_is_of_moderate_size():
    with Image.open(BytesIO(redraw(BytesIO(with_place(turned=6))))) as turned:
        assert turned.size == (60, 80)
    with Image.open(BytesIO(redraw(BytesIO(picture(size=(4000, 1000)))))) as small:
        assert small.size == (LONGEST_SIDE, LONGEST_SIDE // 4)


@pytest.mark.parametrize(
    ("mode", "colour"),
    [("RGBA", (0, 0, 0, 0)), ("P", 0), ("L", 7), ("1", 1), ("LA", (3, 0)), ("I;16", 9)],
)
def test_every_kind_of_pixels_becomes_plain(mode, colour):
    with Image.open(
        BytesIO(redraw(BytesIO(picture("PNG", mode=mode, colour=colour))))
    ) as shown:
        assert shown.mode == "RGB"


def test_a_photo_for_print_becomes_plain():
    data = picture("JPEG", mode="CMYK", colour=(0, 255, 255, 0))
    with Image.open(BytesIO(redraw(BytesIO(data)))) as shown:
        assert shown.mode == "RGB"
        red, green, blue = shown.getpixel((40, 30))  # type: ignore[misc]
    assert red > 200
    assert max(green, blue) < 60


@pytest.mark.parametrize("kind", ["GIF", "BMP", "TIFF", "ICO", "PPM", "EPS", "PDF"])
def test_other_formats_are_refused_in_one_sentence(office, kind):
    with pytest.raises(ServiceError, match="no JPEG, PNG or WebP") as refusal:
        add(office, picture(kind))
    assert str(refusal.value).count(".") == 1
    assert not AssemblyPhoto.objects.exists()


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"", "empty"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "no JPEG"),
        (b"\xff\xd8\xff\xe0" + b"\x00" * 400, "no JPEG"),
        (b"\x00" * (MOST_BYTES + 1), "larger than 15 MB"),
    ],
)
def test_what_is_no_photo_is_refused(data, why):
    with pytest.raises(ServiceError, match=why):
        redraw(BytesIO(data))


@pytest.mark.parametrize("size", [(8000, 6251), (12_000, 12_000), (20_000, 20_000)])
def test_a_small_file_that_unpacks_to_too_much_is_refused(size):
    data = picture("PNG", size=size, mode="1", colour=0)
    assert len(data) < 200_000
    with pytest.raises(ServiceError, match="50 million pixels"):
        redraw(BytesIO(data))


def test_as_many_pixels_as_allowed_are_taken():
    redraw(BytesIO(picture("PNG", size=(8000, 6250), mode="1", colour=0)))


@pytest.mark.filterwarnings("ignore::UserWarning:PIL")  # of tags that make no sense
def test_damaged_files_are_drawn_or_refused_but_never_anything_else():
    luck = random.Random(20260415)  # noqa: S311  (no secret)
    whole = {kind: with_place(kind) for kind in ("JPEG", "PNG", "WEBP")}
    ends = {"drawn": 0, "refused": 0}
    for _ in range(600):
        data = bytearray(whole[luck.choice(list(whole))])
        for _ in range(luck.randint(1, 6)):
            data[luck.randrange(len(data))] = luck.randrange(256)
        cut = data[: luck.randrange(1, len(data))] if luck.random() < 0.3 else data
        try:
            redraw(BytesIO(bytes(cut)))
            ends["drawn"] += 1
        except ServiceError:
            ends["refused"] += 1
    assert min(ends.values()) > 20


def test_a_refused_row_leaves_no_file(office):
    folder = photo_path("x").parent
    before = set(folder.iterdir()) if folder.exists() else set()
    with pytest.raises(ServiceError):
        add(office, picture(), caption="a\x00b")
    assert (set(folder.iterdir()) if folder.exists() else set()) == before


def test_a_photo_taken_out_is_not_shown_until_it_is_put_back(office, stranger):
    photo_id = add(office, picture())
    where: dict[str, Any] = {"device_id": device().pk, "photo_id": photo_id}
    how: dict[str, Any] = {"now": NOON, "actor": "Bo"}
    set_photo_removed(office, **where, removed=True, **how)
    with pytest.raises(NotFoundError):
        open_photo(office, **where)
    set_photo_removed(office, **where, removed=False, **how)
    open_photo(office, **where).close()
    with pytest.raises(NotFoundError):
        open_photo(stranger, **where)
    with pytest.raises(NotFoundError):
        open_photo(office, device_id=device("B2").pk, photo_id=photo_id)
    photo_path(AssemblyPhoto.objects.get().file_name).unlink()
