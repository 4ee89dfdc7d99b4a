package compute_test

import (
	"runtime/debug"
	"testing"

	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/templates"
)

// TestMain has garbage collected seldom, which takes 200 MB, and a quarter of
// the time less.
func TestMain(m *testing.M) {
	debug.SetGCPercent(400)
	m.Run()
}

// load is the shipped model; on trial, the one that is tried.
func load(t require.TestingT, s model.System) *model.Model {
	if t, ok := t.(*trial); ok {
		return t.model(s)
	}
	m, err := compute.Load(templates.FS, s)
	require.NoError(t, err)
	return m
}

func TestLoadBothSystems(t *testing.T) {
	load(t, model.US)
	load(t, model.Metric)
}
