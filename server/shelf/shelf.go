// Package shelf looks up what the shop keeps, as the owner's pages list it: the
// versions of parts and brakes, how a part stands, and the sheets that rely on
// them.
package shelf

import "brakeside/server/web"

// Shelf is what pages that show kept things share.
type Shelf struct{ *web.Site }
