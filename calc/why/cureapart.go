package why

import (
	"fmt"
	"slices"
	"strconv"

	"brakeside/calc/notation"
	"brakeside/calc/part"
	"brakeside/calc/process"
)

// apart makes a piece of its own of what hangs on one bend of a conflict. What is
// taken away is flat, or can be bent by itself.
func (h *healer) apart(c *conflict) {
	for _, j := range c.core.Joints {
		if c.full(process.SplitCure) {
			return
		}
		switch {
		case h.Part.Profile != nil:
			h.profileApart(c, h.joint(j.ID))
		case h.Part.Tray != nil:
			if side, i, ok := h.wall(j); ok && i == len(h.Part.Tray.Walls[side])-1 {
				h.piece(c, j.Word, notation.Patch{{Op: notation.Remove, Path: h.blank.Pointer(h.joint(j.ID))}})
			}
		default:
			for _, f := range j.Faces {
				h.faceApart(c, c.core.Faces[f].ID)
			}
		}
	}
}

// piece offers to take something away.
func (h *healer) piece(c *conflict, words string, patch notation.Patch) {
	h.offer(c, change{
		words: fmt.Sprintf("make %s a piece of its own and join it after bending", words),
		kind:  process.SplitCure, of: process.OfPart, patch: patch, parts: true,
	})
}

// profileApart divides a profile at a bend. The lesser part becomes the piece.
func (h *healer) profileApart(c *conflict, bend int) {
	legs := len(h.Part.Profile.Legs)
	before, behind := legsOff(0, bend+1), legsOff(bend+1, legs-bend-1)
	off, rest, words := behind, before, legWords(bend+2, legs)
	if bend+1 < legs-bend-1 {
		off, rest, words = before, behind, legWords(1, bend+1)
	}
	if h.drilled() && off[0].Path == "/profile/legs/0" {
		return // the holes name the legs by their numbers, which would be others
	}
	if min(bend+1, legs-bend-1) > 1 && !h.try(change{of: process.OfPart, patch: rest}).part() {
		return
	}
	h.piece(c, words, off)
}

// drilled reports whether the part has holes or cutouts.
func (h *healer) drilled() bool { return len(h.Part.Holes)+len(h.Part.Cutouts) > 0 }

// legsOff is the change that takes legs off one end of a profile, and the bends at
// them.
func legsOff(from, count int) notation.Patch {
	var patch notation.Patch
	for i := range count {
		leg, bend := from+count-1-i, from+count-2-i
		if from == 0 {
			leg, bend = 0, 0
		}
		patch = append(patch,
			notation.Edit{Op: notation.Remove, Path: "/profile/legs/" + strconv.Itoa(leg)},
			notation.Edit{Op: notation.Remove, Path: "/profile/bends/" + strconv.Itoa(bend)})
	}
	return patch
}

// legWords names a run of legs, counted from 1.
func legWords(from, to int) string {
	if from == to {
		return fmt.Sprintf("leg %d", from)
	}
	return fmt.Sprintf("legs %d to %d, bent by themselves,", from, to)
}

// faceApart takes a face off a drawn blank that hangs on nothing but one bend.
func (h *healer) faceApart(c *conflict, id string) {
	face := slices.IndexFunc(h.Part.Flat.Faces, func(f part.Face) bool { return f.ID == id })
	if !slices.Contains(h.blank.Leaves(), h.blank.FaceIndex(id)) || len(h.blank.Faces[h.blank.FaceIndex(id)].Aliases) > 0 {
		return
	}
	var patch notation.Patch
	for i := len(h.Part.Flat.Bends) - 1; i >= 0; i-- {
		if slices.Contains(h.Part.Flat.Bends[i].Between[:], id) {
			patch = append(patch, notation.Edit{Op: notation.Remove, Path: "/flat/bends/" + strconv.Itoa(i)})
		}
	}
	h.piece(c, id, append(patch, notation.Edit{Op: notation.Remove, Path: "/flat/faces/" + strconv.Itoa(face)}))
}
