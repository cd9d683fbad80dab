// A photo is made smaller on the phone before it waits there and goes over the
// air. Drawing it anew also leaves behind what the camera wrote beside it: where
// and with what it was taken.

/** The longer side of a photo as it is sent, in px: the server keeps 2560 at most. */
export const LONG = 2048;

/** How much a JPEG keeps, 0 to 1. Common practice, no source. */
const QUALITY = 0.85;

/**
 * The sides of a picture of w by h px with the longer no longer than long, in
 * the same proportion; neither is 0.
 * @param {number} w @param {number} h @param {number} [long] @returns {[number, number]}
 */
export function fit(w, h, long = LONG) {
	const most = Math.max(w, h);
	if (most <= long) return [w, h];
	return [Math.max(1, Math.round(w * long / most)), Math.max(1, Math.round(h * long / most))];
}

/**
 * The photo, upright and smaller, as a JPEG; as it is where this phone cannot
 * read it: the server says what is wrong with it.
 * @param {Blob} file @returns {Promise<Blob>}
 */
export async function shrink(file) {
	let picture;
	try {
		picture = await createImageBitmap(file, { imageOrientation: "from-image" });
	} catch {
		return file;
	}
	try {
		const canvas = document.createElement("canvas");
		[canvas.width, canvas.height] = fit(picture.width, picture.height);
		const paper = canvas.getContext("2d");
		if (!paper) return file;
		// Under what can be seen through.
		paper.fillStyle = "#fff";
		paper.fillRect(0, 0, canvas.width, canvas.height);
		paper.imageSmoothingQuality = "high";
		paper.drawImage(picture, 0, 0, canvas.width, canvas.height);
		/** @type {Blob | null} */
		const small = await new Promise(done => canvas.toBlob(done, "image/jpeg", QUALITY));
		return small ?? file;
	} finally {
		picture.close();
	}
}
