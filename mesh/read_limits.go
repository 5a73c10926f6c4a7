package mesh

// Limits on what is read, so that no file can take the machine with it: what is
// beyond them is refused. Counts that a file states are moreover held against
// its size before memory is asked for. (For triangles the limit is
// maxTriangles, which the mesh itself sets.)
const (
	maxFileSize = 4 << 30         // bytes of a file, also of what gzip or a package holds unpacked
	maxPoints   = maxTriangles    // points of a file, used by faces or not
	maxExpanded = 50              // bytes that a packed byte may stand for ...
	freeExpand  = int64(16 << 20) // ... beyond these, which any file may have
	maxCopies   = 1_000_000       // points and faces that placing parts of a file several times may add
	maxParts    = 50_000          // objects, nodes or placements in a file
	maxCorners  = 1 << 16         // corners of a polygon ...
	maxConcave  = 1024            // ... and of a polygon that is not convex: the time to cut it grows with their square or worse

	maxLine       = 1 << 20   // bytes of a line of text, of a tag, or of text between tags
	longestWord   = 256       // bytes of a word of ASCII STL or PLY; no number needs more
	maxPLYHeader  = 1 << 16   // bytes of the header of a PLY file
	maxDepth      = 64        // how deep the tags of a model are nested
	maxAttributes = 1000      // attributes of a tag
	maxXMLNames   = 1 << 16   // bytes of the names, and of the name spaces, of tags that are open at one time
	maxGLTFText   = 8 << 20   // bytes of the text of glTF, without numbers embedded in it
	maxGLTFValues = 1_000_000 // commas and brackets in it: the text takes many times its size in memory
	maxStride     = 1 << 12   // bytes from one row of glTF to the next; glTF allows 252
)
