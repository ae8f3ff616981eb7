package dxf

// entityTags is an entity as it stands in the file, with the corners that follow it.
type entityTags struct {
	tag
	tags
	corners []tags
}

// entities reads up to the end of a section or a block.
func (s *scan) entities(end string) (out []entityTags) {
	for s.err == nil {
		p, ok := s.peek()
		if !ok || p.code == 0 && (p.value == end || p.value == "ENDSEC" || p.value == "EOF") {
			return out
		}
		s.take()
		if p.code != 0 {
			continue
		}
		e := entityTags{tag: p, tags: s.group()}
		if p.value == "POLYLINE" {
			e.corners = s.corners()
		}
		out = append(out, e)
	}
	return out
}

// corners reads those of an older polyline, which are entities of their own.
func (s *scan) corners() (out []tags) {
	for {
		p, ok := s.peek()
		if !ok || p.code != 0 || p.value != "VERTEX" && p.value != "SEQEND" {
			return out
		}
		s.take()
		v := s.group()
		if p.value == "SEQEND" {
			return out
		}
		out = append(out, v)
	}
}
