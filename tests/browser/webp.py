"""Small pictures: Chromium's own WebP encoder, so that no package is needed for it."""

import base64
from typing import Any

import numpy as np
from numpy.typing import NDArray
from playwright.sync_api import Browser

# How much of a picture is kept: at this, print of 13 px stays sharp to the eye.
QUALITY = 0.85
ENCODE = """async ([data, wide, high, quality]) => {
  const canvas = new OffscreenCanvas(wide || 1, high || 1);
  const bytes = Uint8Array.from(atob(data), (c) => c.charCodeAt(0));
  if (wide) {
    const pixels = new ImageData(new Uint8ClampedArray(bytes), wide, high);
    canvas.getContext('2d').putImageData(pixels, 0, 0);
  } else {
    const image = await createImageBitmap(new Blob([bytes], {type: 'image/png'}));
    [canvas.width, canvas.height] = [image.width, image.height];
    canvas.getContext('2d').drawImage(image, 0, 0);
  }
  const blob = await canvas.convertToBlob({type: 'image/webp', quality});
  const out = new Uint8Array(await blob.arrayBuffer());
  let text = '';
  for (const byte of out) text += String.fromCharCode(byte);
  return btoa(text);
}"""


def of_png(chromium: Browser, picture: bytes) -> bytes:
    """Return a screenshot as WebP."""
    return _encoded(chromium, [_base64(picture), 0, 0, QUALITY])


def of_pixels(chromium: Browser, picture: NDArray[np.uint8]) -> bytes:
    """Return a picture in red, green and blue as WebP."""
    high, wide, _colors = picture.shape
    opaque = np.full((high, wide, 1), 255, np.uint8)
    pixels = np.concatenate([picture, opaque], axis=2)
    return _encoded(chromium, [_base64(pixels.tobytes()), wide, high, QUALITY])


def _base64(data: bytes) -> str:
    return base64.b64encode(data).decode()


def _encoded(chromium: Browser, asked: list[Any]) -> bytes:
    bare = chromium.new_page()  # on a page that has no policy of ours
    picture = base64.b64decode(bare.evaluate(ENCODE, asked))
    bare.close()
    assert picture[:4] == b"RIFF" and picture[8:12] == b"WEBP"
    return picture
