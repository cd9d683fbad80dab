// Ids of what is done on this phone, made here because the server is out of reach.

/**
 * Makes a maker of ids: UUIDs of version 7 (RFC 9562, section 5.7). Those that
 * one maker makes sort in that order, even within a millisecond and when the
 * clock is set back: the twelve bits after the version count up from a random
 * start (section 6.2, method 1), and a full count borrows from the future.
 * @param {() => number} clock milliseconds since 1970, whole
 * @param {(bytes: Uint8Array<ArrayBuffer>) => Uint8Array<ArrayBuffer>} chance fills bytes at random
 * @returns {() => string}
 */
export function maker(clock, chance) {
	let time = 0, count = 0;
	return () => {
		const bytes = chance(new Uint8Array(16));
		const now = clock();
		if (now > time) {
			time = now;
			// The top bit of the start is 0: at least 2048 ids fit into its millisecond.
			count = ((bytes[6] & 0x07) << 8) | bytes[7];
		} else if (count < 0xfff) {
			count++;
		} else {
			time++;
			count = 0;
		}
		for (let i = 0; i < 6; i++) bytes[i] = Math.floor(time / 2 ** (40 - 8 * i)) & 0xff;
		bytes[6] = 0x70 | (count >> 8);
		bytes[7] = count & 0xff;
		bytes[8] = 0x80 | (bytes[8] & 0x3f);
		const hex = Array.from(bytes, b => b.toString(16).padStart(2, "0")).join("");
		return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
	};
}

/** The page's own maker. */
export const newId = maker(Date.now, bytes => crypto.getRandomValues(bytes));
