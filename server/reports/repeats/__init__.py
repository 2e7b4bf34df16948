"""What a finding says of several answers of a person, where the plan declared how they count."""
