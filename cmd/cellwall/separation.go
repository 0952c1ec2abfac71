package main

import (
	"fmt"

	"cellwall/scene/reach/guard"

	"github.com/spf13/cobra"
)

// separationCommand works out a minimum distance by ISO 13855. It reads no cell.
func separationCommand() *cobra.Command {
	var a guard.Approach
	cmd := &cobra.Command{
		Use:   "separation --edition YEAR --stopping-s T",
		Short: "The minimum distance of a protective device by ISO 13855, with its working",
		Long: "Works out the minimum distance between a protective device and the hazard, and prints the\n" +
			"formula and every input. The edition is yours to name: 2010 for normal approach to a light\n" +
			"curtain with --resolution-mm; 2024 with --speed-mm-s, --reach-mm and --supplement-mm.\n\n" + cautions(),
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			d, err := a.MinimumDistance()
			if err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "%s\n\n%s\n", d, cautions())
			return nil
		},
	}
	cmd.Flags().StringVar(&a.Edition, "edition", "", "of ISO 13855: 2010 or 2024")
	cmd.Flags().Float64Var(&a.Stopping, "stopping-s", 0, "T, until the hazard has ended, s")
	cmd.Flags().Float64Var(&a.Resolution, "resolution-mm", 0, "2010: d, detection capability, mm")
	cmd.Flags().Float64Var(&a.Speed, "speed-mm-s", 0, "2024: K, approach speed, mm/s")
	cmd.Flags().Float64Var(&a.Reach, "reach-mm", 0, "2024: D_DS, reaching distance, mm")
	cmd.Flags().Float64Var(&a.Supplement, "supplement-mm", 0, "2024: Z, supplements, mm")
	return cmd
}
