package encryption

import (
	"encoding/binary"
)

// dataSpaces is the streams that say, apart from how, that the package is
// encrypted: [MS-OFFCRYPTO] 2.2, with the values of 2.3.4.1 to 2.3.4.4.
func dataSpaces() map[string][]byte {
	const folder, space, transform = "\x06DataSpaces/", "StrongEncryptionDataSpace", "StrongEncryptionTransform"
	version := numbers(1, 1, 1) // 1.0 of reader, updater and writer: each two short numbers
	reference := join(numbers(1, 0), counted(packageStream), counted(space))
	kind := join(numbers(1), counted("{FF9A3F03-56EF-4613-BDD5-5A41C1D07246}"))
	return map[string][]byte{
		folder + "Version":                join(counted("Microsoft.Container.DataSpaces"), version),
		folder + "DataSpaceMap":           join(numbers(8, 1, 4+len(reference)), reference),
		folder + "DataSpaceInfo/" + space: join(numbers(8, 1), counted(transform)),
		folder + "TransformInfo/" + transform + "/\x06Primary": join(numbers(4+len(kind)), kind,
			counted("Microsoft.Container.EncryptionTransform"), version,
			numbers(0, 0, 0, 4)), // the agile way has no name, block or mode here
	}
}

func numbers(all ...int) (b []byte) {
	for _, n := range all {
		b = binary.LittleEndian.AppendUint32(b, uint32(n))
	}
	return b
}

// counted is a text after its length in bytes, filled up to four of them.
func counted(text string) []byte {
	letters := spell(text)
	return join(numbers(len(letters)), letters, make([]byte, -len(letters)&3))
}

func join(parts ...[]byte) (all []byte) {
	for _, p := range parts {
		all = append(all, p...)
	}
	return all
}
