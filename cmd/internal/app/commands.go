package app

// commands is the table of commands, in the order of the help. A command is
// listed once it answers.
func commands() []*command {
	return []*command{
		todayCommand(),
		airCommand(),
		thicknessCommand(),
		wallCommand(),
		seasonCommand(),
		serveCommand(),
		jobCommand(),
		sampleCommand(),
		practiceCommand(),
		diaryCommand(),
		completionCommand(),
	}
}
